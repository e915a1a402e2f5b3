"""How often do the intervals of rig tap, rig drop and rig calibrate hold the truth? Simulated, printed.

Every quantity that a budget takes for uncertain is drawn as the budget has it: what is stated with a standard
uncertainty from a normal distribution, what is bounded from a rectangular one.

    python -m benchmarks.rig_truth --drops 1000 --seed 1
"""

from __future__ import annotations

import argparse
import math
from collections import defaultdict
from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray
from tests.rig.series import GREATEST, Chain, calibrated, read, with_calibration
from tests.rig.taps import tap_recording

from benchmarks.force_truth import believed, rig
from tameshi.demo.chain import Surroundings, record
from tameshi.errors import UnmeasurableError
from tameshi.force import Origin, Trace, reduce_trace
from tameshi.quantity import Quantity, Source
from tameshi.reference import row
from tameshi.rig import (
    Bounce,
    DropCheck,
    Fall,
    air_share,
    check_drop,
    conversion_of_rig,
    local_gravity,
    measure_taps,
)

FloatArray = NDArray[np.float64]
Lines = defaultdict[str, list[tuple[bool, float, float]]]
LONGEST = 6.0


@dataclass(frozen=True)
class Drop:
    """One simulated drop: what is true of it and what its person believes."""

    force: Callable[[FloatArray], FloatArray]
    ends: float
    peak: float
    fall: Fall


def pulse(rng: np.random.Generator) -> Callable[[FloatArray], FloatArray]:
    """Return a contact's shape over (0, 1) with an area of one: rounded at its feet, leaning either way."""
    rounded, lean = float(rng.uniform(1.0, 1.6)), float(np.exp(rng.uniform(-0.25, 0.25)))

    def shape(x: FloatArray) -> FloatArray:
        inside = np.clip(x, 0.0, 1.0)
        made: FloatArray = np.sin(math.pi * inside**lean) ** rounded
        return made

    fine = np.linspace(0.0, 1.0, 20_001)
    area = float(np.trapezoid(shape(fine), fine))
    return lambda x: shape(x) / area


def draw_drop(rng: np.random.Generator) -> Drop:
    mass, height = float(np.exp(rng.uniform(math.log(0.5), math.log(10.0)))), float(rng.uniform(0.08, 1.0))
    knows_gravity = bool(rng.random() < 0.5)
    standard = row("drops", "gravity")
    pull = standard["value"] * (1.0 + rng.uniform(-1.0, 1.0) * standard["half_width"])
    thinned = rng.uniform(0.0, 1.0)  # of the air drag that is allowed for
    shape, contact = pulse(rng), float(rng.uniform(0.005, 0.015))
    speed = math.sqrt(2.0 * pull * height) * (1.0 - thinned * air_share(mass, height))
    met, onset, peak = [], 0.3, 0.0
    restitution = float(rng.uniform(0.25, 0.85))
    for _ in range(int(rng.integers(2, 6))):
        after = restitution * speed
        momentum = mass * (speed + after) + mass * pull * contact
        met.append((onset, momentum))
        peak = max(peak, momentum / contact * float(shape(np.linspace(0.0, 1.0, 2001)).max()))
        if 2.0 * after / pull < 0.04:
            break
        onset += contact + 2.0 * after / pull
        speed = after * (1.0 - 2.0 * thinned * air_share(mass, after**2 / (2.0 * pull)))

    def force(time: FloatArray) -> FloatArray:
        total = np.zeros_like(time)
        for begin, momentum in met:
            inside = (time > begin) & (time < begin + contact)
            total[inside] += momentum / contact * shape((time[inside] - begin) / contact)
        return total

    u_mass, u_height = float(rng.choice([0.0005, 0.002])) * mass, float(rng.choice([0.0005, 0.001, 0.003]))
    fall = Fall(
        mass=Quantity(float(rng.normal(mass, u_mass)), "kg", {Source("mass", "mass"): u_mass}),
        height=Quantity(float(rng.normal(height, u_height)), "m", {Source("height", "height"): u_height}),
        gravity=local_gravity(pull if knows_gravity else None),
    )
    return Drop(force, met[-1][0] + contact + 0.5, peak, fall)


def checked(rng: np.random.Generator, number: int) -> DropCheck | None:
    drop = draw_drop(rng)
    if drop.ends > LONGEST:
        return None
    rate = float(rng.choice([2e3, 5e3, 1e4, 2e4, 5e4]))
    true = rig(rate, float(rng.choice([800.0, 2500.0, 5000.0])), float(rng.choice([0.01, 0.03, 0.1])))
    scale = float(rng.choice([0.0005, 0.002, 0.01]))
    cell = replace(true.cell, capacity=max(1000.0, 1.6 * drop.peak), rated_output_tolerance=scale)
    true = replace(true, cell=cell)
    around = Surroundings(
        noise=float(rng.choice([0.0001, 0.001])) * cell.capacity,
        hum=float(rng.choice([0.0, 0.002])) * cell.capacity,
        drift=float(rng.choice([0.0, 0.005])) * cell.capacity,
    )
    volts = record(drop.force, drop.ends, true, around, rng) * (1.0 + scale * rng.uniform(-1.0, 1.0))
    owned = believed(true, rng)
    trace = Trace(volts, rate, "V", Origin(f"{number}", f"{number:064d}", "volts"))
    found = reduce_trace(trace, conversion_of_rig(owned), rig=owned)
    bounces = [
        Bounce(index=one.index, onset=one.onset, end=one.end, impulse=one.impulse) for one in found.strikes
    ]
    return check_drop(bounces, drop.fall, rate=rate) if bounces else None


def drops(count: int, rng: np.random.Generator) -> Lines:
    """Ratio of read to expected impulse: how often its interval holds one."""
    held: Lines = defaultdict(list)
    for number in range(count):
        found = checked(rng, number)
        if found is None or not isinstance(found.ratio, Quantity):
            held["drop: refused"].append((False, math.nan, math.nan))
            continue
        largest = next(iter(found.ratio.budget))
        for group in ("drop: ratio of all bounces", f"drop: mostly {largest}"):
            held[group].append(told(found.ratio, 1.0))
        singles = [one.ratio for one in found.bounces if isinstance(one.ratio, Quantity)]
        held["drop: single bounces"] += [told(ratio, 1.0) for ratio in singles]
    return held


def taps(count: int, rng: np.random.Generator) -> Lines:
    """Natural frequency and damping from recordings of one to six taps."""
    held: Lines = defaultdict(list)
    for number in range(count):
        natural = float(np.exp(rng.uniform(math.log(100.0), math.log(5000.0))))
        damping = float(np.exp(rng.uniform(math.log(0.005), math.log(0.2))))
        rate = natural * float(np.exp(rng.uniform(math.log(2.6), math.log(20.0))))
        samples = tap_recording(
            natural,
            damping,
            rate,
            taps=int(rng.integers(1, 7)),
            noise=float(np.exp(rng.uniform(math.log(5e-4), math.log(0.02)))),
            contact=float(rng.uniform(0.2, 1.0)) / natural,
            seed=number,
        )
        # the recording's clock is off by what is allowed for
        clock = 1.0 + rng.uniform(-1.0, 1.0) * row("chain_defaults", "time-base")["half_width"]
        try:
            found = measure_taps(samples, rate * clock)
        except UnmeasurableError:
            held["tap: refused"].append((False, math.nan, math.nan))
            continue
        held["tap: natural frequency"].append(told(found.natural_frequency, natural))
        held["tap: damping ratio"].append(told(found.damping_ratio, damping))
    return held


def calibrations(count: int, rng: np.random.Generator) -> Lines:
    """A force by a simulated calibration: straight, curved, with hysteresis, with drift, with all of it."""
    held: Lines = defaultdict(list)
    true = rig(20_000.0, 2500.0, 0.03)
    for _ in range(count):
        scatter, load_u = (float(10.0 ** rng.uniform(-4.0, -3.0)) for _ in range(2))
        bend, drift = float(rng.uniform(-0.005, 0.005)), float(rng.uniform(-0.001, 0.001))
        hysteresis = float(rng.uniform(0.0005, 0.002))
        plain = Chain(scatter=scatter, load_u=load_u)
        cases = {
            "straight, degree 1": (plain, 1),
            "straight, degree 2": (plain, 2),
            "curved, degree 2": (replace(plain, bend=bend), 2),
            "curved, degree 1": (replace(plain, bend=bend), 1),
            "hysteresis, degree 1": (replace(plain, hysteresis=hysteresis), 1),
            "drift, degree 1": (replace(plain, drift=drift), 1),
            "all of it, degree 1": (replace(plain, bend=bend, hysteresis=hysteresis, drift=drift), 1),
            "all of it, degree 2": (replace(plain, bend=bend, hysteresis=hysteresis, drift=drift), 2),
        }
        steps, runs = int(rng.integers(5, 11)), int(rng.integers(1, 4))
        for name, (chain, degree) in cases.items():
            fitted = calibrated(chain, rng, degree=degree, steps=steps, runs=runs)
            force = float(rng.uniform(0.1, 1.0)) * GREATEST
            found = read(with_calibration(true, fitted), chain, force, rng)
            held[f"calibrate: {name}"].append(told(found, force))
    return held


def told(found: Quantity, true: float) -> tuple[bool, float, float]:
    """Whether the interval holds the truth, the relative error and the relative standard uncertainty."""
    return found.low <= true <= found.high, found.value / true - 1.0, found.u / true


def print_lines(held: Lines) -> None:
    for group, lines in sorted(held.items()):
        holds, off, u = (np.array(column) for column in zip(*lines, strict=True))
        if group.endswith("refused"):
            print(f"{group:32}{len(lines):6}")
            continue
        print(f"{group:32}{len(lines):6}{holds.mean():8.3f}{np.median(np.abs(off)):14.3%}", end="")
        print(f"{off.mean():11.3%}{np.median(u):11.3%}{np.sqrt(np.mean((off / u) ** 2)):14.2f}")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--drops", type=int, default=200)
    parser.add_argument("--taps", type=int, default=150)
    parser.add_argument("--calibrations", type=int, default=1000)
    parser.add_argument("--seed", type=int, default=1)
    asked = parser.parse_args([] if __name__ != "__main__" else None)
    rng = np.random.default_rng(asked.seed)
    print(f"{'':32}{'n':>6}{'hold':>8}{'median error':>14}{'bias':>11}{'median u':>11}{'rms error/u':>14}")
    for simulate, count in ((taps, asked.taps), (drops, asked.drops), (calibrations, asked.calibrations)):
        print_lines(simulate(count, rng))


if __name__ == "__main__":
    main()
