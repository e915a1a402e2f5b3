"""How right are measured strikes? Simulates recordings of known truth, measures them, prints a table.

Shape, level, rate, cell, noise, hum and drift are varied; the rig's ratings are exactly true, so that
the intervals are those of the signal alone; natural frequency and damping in the rig file are off by
their uncertainty. Counts strikes missed and invented, errors, and how many of the 95 % intervals hold
the truth, in all and by group.

    python -m benchmarks.force_truth --recordings 60 --seed 1
"""

from __future__ import annotations

import argparse
import time
from collections import defaultdict
from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace

import numpy as np

from tameshi.demo.chain import Surroundings, record
from tameshi.demo.pulses import (
    Force,
    StrikingMass,
    Truth,
    contact_force,
    half_sine,
    haversine,
    skewed,
    together,
    truth_of,
)
from tameshi.force import Origin, Strike, Trace, reduce_trace
from tameshi.quantity import Quantity
from tameshi.rig import Amplifier, Cell, Converter, Plate, Rig, conversion_of_rig

FIGURES = ("peak_force", "impulse", "contact_duration", "rise_time", "time_to_peak")
DURATION = 3.0
EXACT = 1e-6
SAME_STRIKE = 0.015


@dataclass(frozen=True)
class Scene:
    rig: Rig
    believed: Rig
    surroundings: Surroundings
    strikes: list[tuple[str, Force, Truth]]


def rig(rate: float, natural: float, damping: float) -> Rig:
    cell = Cell(
        capacity=10_000.0,
        rated_output=2e-3,
        rated_output_tolerance=EXACT,
        natural_frequency=natural,
        natural_frequency_u=0.002 * natural,
        damping_ratio=damping,
        damping_ratio_u=0.05 * damping,
        linearity=EXACT,
        hysteresis=EXACT,
        repeatability=EXACT,
    )
    amplifier = Amplifier(excitation=5.0, gain=500.0, gain_tolerance=EXACT, excitation_tolerance=EXACT)
    return Rig(
        name="simulated",
        identity="simulated",
        cell=cell,
        amplifier=amplifier,
        converter=Converter(rate=rate, bits=16, span=(-10.0, 10.0)),
        plate=Plate(mounting_tolerance=EXACT),
    )


def believed(true: Rig, rng: np.random.Generator) -> Rig:
    """The rig as its file has it: natural frequency and damping off by their uncertainty."""
    cell = true.cell
    assert cell.natural_frequency is not None
    assert cell.natural_frequency_u is not None
    assert cell.damping_ratio is not None
    assert cell.damping_ratio_u is not None
    drawn = replace(
        cell,
        natural_frequency=float(rng.normal(cell.natural_frequency, cell.natural_frequency_u)),
        damping_ratio=float(rng.normal(cell.damping_ratio, cell.damping_ratio_u)),
    )
    return replace(true, cell=drawn)


def draw_strike(rng: np.random.Generator, start: float, least: float, shortest: float) -> tuple[str, Force]:
    peak = max(least, float(np.exp(rng.uniform(np.log(60.0), np.log(6000.0)))))
    length = max(shortest, float(np.exp(rng.uniform(np.log(0.004), np.log(0.03)))))
    shapes: dict[str, Callable[[], Force]] = {
        "half-sine": lambda: half_sine(peak, length, start),
        "haversine": lambda: haversine(peak, length, start),
        "skewed": lambda: skewed(peak, length, start),
        "double": lambda: together(
            [half_sine(peak, length, start), half_sine(0.7 * peak, length, start + 1.05 * length)]
        ),
        "mass": lambda: contact_force(
            StrikingMass(
                mass=float(rng.uniform(0.5, 3.0)),
                speed=float(rng.uniform(3.0, 9.0)),
                stiffness=float(np.exp(rng.uniform(np.log(2e5), np.log(3e6)))),
                loss=float(rng.uniform(0.0, 0.1)),
            ),
            start,
        ),
    }
    kind = str(rng.choice(list(shapes)))
    return kind, shapes[kind]()


def draw_scene(rng: np.random.Generator) -> Scene:
    rate = float(rng.choice([1e3, 2e3, 5e3, 1e4, 2e4, 5e4]))
    drawn = rig(rate, float(rng.choice([250.0, 800.0, 2500.0, 5000.0])), float(rng.choice([0.01, 0.03, 0.1])))
    noise = float(rng.choice([0.5, 2.0, 8.0]))
    strikes = []
    start = 0.25
    while start < DURATION - 0.3:
        kind, force = draw_strike(rng, start, 10.0 * noise, 8.0 / rate)
        true = truth_of(force, start - 0.001, start + 0.1)
        if 10.0 * noise <= true.peak_force <= 9000.0 and true.contact_duration * rate >= 6.0:
            strikes.append((kind, force, true))
            start += float(rng.uniform(0.07, 0.6)) + true.contact_duration
    surroundings = Surroundings(
        noise=noise,
        hum=float(rng.choice([0.0, 0.0, 3.0, 20.0])),
        hum_frequency=float(rng.choice([50.0, 60.0, 50.04])),
        drift=float(rng.choice([0.0, 10.0, 60.0])),
        offset=float(rng.uniform(-300.0, 300.0)),
    )
    return Scene(drawn, believed(drawn, rng), surroundings, strikes)


def groups(kind: str, scene: Scene, true: Truth) -> Iterator[str]:
    yield "all"
    yield kind
    cycles = (scene.rig.cell.natural_frequency or 0.0) * true.contact_duration
    yield "cell: under 5 cycles" if cycles < 5.0 else "cell: 5 cycles and more"
    samples = true.contact_duration * scene.rig.converter.rate
    yield (
        "under 20 samples" if samples < 20.0 else "20 to 60 samples" if samples < 60.0 else "over 60 samples"
    )
    clear = true.peak_force / scene.surroundings.noise
    yield "peak under 40 sigma" if clear < 40.0 else "peak over 40 sigma"
    around = scene.surroundings
    yield f"rate {scene.rig.converter.rate:.0f} Hz"
    yield f"cell {scene.rig.cell.natural_frequency:.0f} Hz"
    yield f"noise {around.noise:g} N"
    yield f"hum {around.hum:g} N"
    yield f"drift {around.drift:g} N"
    level = true.peak_force
    yield "level 60-300 N" if level < 300.0 else "level 300-1500 N" if level < 1500.0 else "level over 1500 N"


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--recordings", type=int, default=40)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args([] if __name__ != "__main__" else None)
    rng = np.random.default_rng(asked.seed)
    table: dict[tuple[str, str], list[tuple[bool, float, float]]] = defaultdict(list)
    onsets: list[float] = []
    missed = invented = refused = 0
    taken = 0.0
    for number in range(asked.recordings):
        scene = draw_scene(rng)
        force = together([force for _, force, _ in scene.strikes])
        volts = record(force, DURATION, scene.rig, scene.surroundings, rng)
        trace = Trace(volts, scene.rig.converter.rate, "V", Origin(f"{number}", f"{number:064d}", "volts"))
        start = time.perf_counter()
        found = list(reduce_trace(trace, conversion_of_rig(scene.believed), rig=scene.believed).strikes)
        taken += time.perf_counter() - start
        for kind, _, true in scene.strikes:
            near = [strike for strike in found if abs(strike.onset - true.onset) < SAME_STRIKE]
            if not near:
                missed += 1
                continue
            found.remove(near[0])
            if true.peak_force > 40.0 * scene.surroundings.noise:
                onsets.append(max(0.0, abs(near[0].onset - true.onset) - 1.0 / scene.rig.converter.rate))
            refused += note(table, near[0], list(groups(kind, scene, true)), true)
        invented += len(found)
    counted = len(table["all", "peak_force"])
    print(f"{counted} strikes measured, {refused} refused, {missed} missed, {invented} invented; ", end="")
    print(f"{counted / taken:.0f} strikes/s")
    middle, worst = 1e3 * np.median(onsets), 1e3 * np.quantile(onsets, 0.99)
    print(f"onset beyond one sample: median {middle:.3f} ms, 99 % {worst:.3f} ms")
    print(f"{'group':26}{'figure':18}{'n':>6}{'hold':>8}{'median error':>14}{'half width':>12}")
    for (group, figure), rows in sorted(table.items(), key=lambda item: (item[0][1], item[0][0])):
        hold, error, width = (np.array(column) for column in zip(*rows, strict=True))
        print(f"{group:26}{figure:18}{len(rows):6}{hold.mean():8.3f}", end="")
        print(f"{np.median(error):13.2%}{np.median(width):12.2%}")


def note(
    table: dict[tuple[str, str], list[tuple[bool, float, float]]],
    strike: Strike,
    names: list[str],
    true: Truth,
) -> int:
    """Enter a strike's figures into the table; return 1 where they were refused."""
    for figure in FIGURES:
        measured, right = strike.figure(figure), getattr(true, figure)
        if not isinstance(measured, Quantity):
            return 1
        row = (
            measured.low <= right <= measured.high,
            abs(measured.value / right - 1.0),
            0.5 * (measured.high - measured.low) / measured.value,
        )
        for name in names:
            table[name, figure].append(row)
    return 0


if __name__ == "__main__":
    main()
