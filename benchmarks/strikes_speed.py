"""How fast strikes are measured with full budgets, against a plain pipeline that gives figures alone.

Recordings of a minute at 20 kHz with two strikes a second, a rig with a 2500 Hz cell whose response is
undone. The reference is what a short script would do with scipy: low-pass, median as zero, ``find_peaks``,
walk to the 5, 10 and 90 % crossings, trapezoid. It has no uncertainty, no cell, no hum, and sees no fault.

    python -m benchmarks.strikes_speed --strikes 10000
"""

from __future__ import annotations

import argparse
import statistics
import time

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, find_peaks, sosfiltfilt

from tameshi.demo.chain import Surroundings, record
from tameshi.demo.pulses import Force, half_sine, together
from tameshi.force import FIGURES, Origin, Trace, reduce_trace
from tameshi.quantity import Quantity
from tameshi.rig import Amplifier, Cell, Converter, Plate, Rig, conversion_of_rig

RATE, DURATION, EVERY, PIECE = 20_000.0, 60.0, 0.5, 5.0
LOW_PASS = 2000.0
RIG = Rig(
    name="bench",
    identity="bench",
    cell=Cell(capacity=10_000.0, rated_output=2e-3, natural_frequency=2500.0, damping_ratio=0.03),
    amplifier=Amplifier(excitation=5.0, gain=500.0),
    converter=Converter(rate=RATE, bits=16, span=(-10.0, 10.0)),
    plate=Plate(pad="none"),
)


def recording() -> NDArray[np.float64]:
    """Return volts of a minute of strikes of many heights."""
    rng = np.random.default_rng(1)
    starts = np.arange(0.3, DURATION - 0.3, EVERY)
    forces = [half_sine(float(rng.uniform(100.0, 4000.0)), 0.010, float(start)) for start in starts]
    # simulated in pieces: the simulation's own grid is ten times as fine
    pieces = []
    for begin in np.arange(0.0, DURATION, PIECE):
        near = [one for one, at in zip(forces, starts, strict=True) if begin - 1.0 < at < begin + PIECE + 1.0]
        pieces.append(record(_later(together(near), float(begin)), PIECE, RIG, Surroundings(noise=2.0), rng))
    return np.concatenate(pieces)


def _later(force: Force, begin: float) -> Force:
    return lambda clock: force(clock + begin)


def plain(volts: NDArray[np.float64]) -> list[tuple[float, ...]]:
    """Return peak, rise, duration and impulse of every strike, as a short script would find them."""
    newtons = volts / RIG.rated_sensitivity
    filtered = sosfiltfilt(butter(2, LOW_PASS, fs=RATE, output="sos"), newtons)
    filtered = filtered - np.median(filtered)
    tops, _ = find_peaks(filtered, height=50.0, distance=round(0.05 * RATE))
    rows: list[tuple[float, ...]] = []
    for top in tops:
        peak = float(filtered[top])
        start = stop = int(top)
        while filtered[start] > 0.05 * peak:
            start -= 1
        while filtered[stop] > 0.05 * peak:
            stop += 1
        rise = filtered[start : top + 1]
        low, high = np.searchsorted(np.maximum.accumulate(rise), (0.1 * peak, 0.9 * peak))
        impulse = float(np.trapezoid(filtered[start : stop + 1])) / RATE
        rows.append((peak, float(high - low) / RATE, (stop - start) / RATE, impulse))
    return rows


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--strikes", type=int, default=10_000)
    asked = parser.parse_args([] if __name__ != "__main__" else None)
    volts = recording()
    conversion = conversion_of_rig(RIG)
    measured = complete = 0
    ratios, floors = [], []
    while measured < asked.strikes:
        start = time.perf_counter()
        reference = plain(volts)
        between = time.perf_counter()
        trace = Trace(volts, RATE, "V", Origin("bench.csv", f"{measured:064d}", "volts"))
        found = reduce_trace(trace, conversion, rig=RIG).strikes
        floors.append(between - start)
        ratios.append((time.perf_counter() - between) / floors[-1])
        assert len(found) == len(reference)
        measured += len(found)
        complete += sum(
            all(isinstance(strike.figure(name), Quantity) for name in FIGURES) for strike in found
        )
    each = statistics.median(ratios) * statistics.median(floors) / len(reference)
    print(f"{measured:,} strikes measured, {complete:,} with all {len(FIGURES)} budgets")
    print(
        f"  {1.0 / each:.0f} strikes a second; {statistics.median(ratios):.0f} x the plain scipy pipeline",
        end="",
    )
    print(f" ({1e3 * statistics.median(floors) / len(reference):.2f} ms a strike)")


if __name__ == "__main__":
    main()
