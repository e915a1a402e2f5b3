"""How fast a recording is reduced, against the floor of finding its greatest sample.

A minute at 20 kHz with a strike every second, in memory; the ratio to ``numpy.max`` of the same samples.
"""

from __future__ import annotations

import statistics
import time
from collections.abc import Callable

import numpy as np

from tameshi.demo.pulses import half_sine, together
from tameshi.force import Origin, Trace, reduce_trace
from tameshi.rig import conversion_by_scale

RATE, DURATION, RUNS = 20_000.0, 60.0, 5


def median_time(work: Callable[[], object]) -> float:
    taken = []
    for _ in range(RUNS):
        start = time.perf_counter()
        work()
        taken.append(time.perf_counter() - start)
    return statistics.median(taken)


def main() -> None:
    clock = np.arange(round(RATE * DURATION)) / RATE
    strikes = [half_sine(500.0 + 40.0 * second, 0.010, 0.5 + second) for second in range(59)]
    samples = together(strikes)(clock) + np.random.default_rng(1).normal(0.0, 2.0, len(clock))
    conversion = conversion_by_scale(1.0, origin="newtons in the file", identity="bench")
    trace = Trace(samples, RATE, "N", Origin("bench.csv", "0" * 64, "force"))

    floor = median_time(lambda: np.max(samples))
    reduced = median_time(lambda: reduce_trace(trace, conversion))
    found = len(reduce_trace(trace, conversion).strikes)
    rate = found / reduced
    print(f"reduce {len(samples):,} samples, {found} strikes: {1e3 * reduced:.0f} ms, {rate:.0f} strikes/s")
    print(f"  {reduced / floor:.0f} x numpy.max; the recording lasts {DURATION / reduced:.0f} x as long")


if __name__ == "__main__":
    main()
