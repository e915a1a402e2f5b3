"""How fast strikes are found in a long recording mapped from a file, against finding its greatest sample.

An hour at 100 kHz, 360 million samples in single precision, with a strike every minute; beside it the same
hour with a strike every ten seconds; noise, hum and drift are in it, as they are in any. "Found" is the one
pass that tells where anything happens; the closer look follows hum and drift there and gives each event its
extent, which is where measuring begins. Both in times ``numpy.max`` over the same array, in the same run.
Memory is what is allocated on top of the mapped file.

    python -m benchmarks.finding_speed --minutes 60
"""

from __future__ import annotations

import argparse
import statistics
import tempfile
import time
import tracemalloc
from collections.abc import Callable
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from tameshi.demo.pulses import half_sine
from tameshi.force import Located, Origin, Settings, Trace, locate_events, scan

RATE = 100_000.0
RUNS = 5
PIECE = 10.0


def write_recording(path: Path, minutes: float, every: float) -> list[float]:
    """Write a recording in newtons; return the onsets of its strikes. [s]"""
    rng = np.random.default_rng(1)
    count, piece = round(60.0 * minutes * RATE), round(PIECE * RATE)
    samples = np.lib.format.open_memmap(path, mode="w+", dtype=np.float32, shape=(count,))
    noise = rng.normal(0.0, 2.0, 4 * piece).astype(np.float32)
    onsets = []
    for start in range(0, count, piece):
        clock = (start + np.arange(piece)) / RATE
        shift = int(rng.integers(0, 3 * piece))
        part = noise[shift : shift + piece] + 1.5 * np.sin(2.0 * np.pi * 50.0 * clock) + 0.01 * clock
        if (start / RATE) % every < PIECE:
            onset = start / RATE + float(rng.uniform(0.5, PIECE - 0.5))
            part += half_sine(float(rng.uniform(40.0, 4000.0)), 0.010, onset)(clock)
            onsets.append(onset)
        samples[start : start + piece] = part[: count - start]
    samples.flush()
    return onsets


def ratio(work: Callable[[], object], floor: Callable[[], object]) -> tuple[float, float]:
    """Return the median ratio of two works run in turn, and the median time of the floor."""
    ratios, floors = [], []
    for _ in range(RUNS):
        start = time.perf_counter()
        floor()
        between = time.perf_counter()
        work()
        floors.append(between - start)
        ratios.append((time.perf_counter() - between) / floors[-1])
    return statistics.median(ratios), statistics.median(floors)


def measure(path: Path, minutes: float, every: float) -> None:
    onsets = write_recording(path, minutes, every)

    def mapped() -> NDArray[np.float32]:
        opened: NDArray[np.float32] = np.load(path, mmap_mode="r")
        return opened

    def trace() -> Trace:
        return Trace(mapped(), RATE, "N", Origin(path.name))

    def locate() -> Located:
        return locate_events(trace(), Settings(), rig=None, pushes_raise=True)

    seen, found = scan(mapped(), RATE, step=0.0), locate()
    right = sum(any(one.first <= onset * RATE < one.last for one in seen.stretches) for onset in onsets)
    tracemalloc.start()
    locate()
    allocated = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    times, floor = ratio(lambda: scan(mapped(), RATE, step=0.0), lambda: np.max(mapped()))
    closer, _ = ratio(locate, lambda: np.max(mapped()))
    each = (closer - times) * floor / max(1, len(seen.stretches))
    print(f"{60 * minutes * RATE:,.0f} samples, numpy.max {1e3 * floor:.0f} ms, a strike every {every:g} s:")
    print(
        f"  found in {times:.2f} x numpy.max: {len(seen.stretches)} places, {right} of {len(onsets)} strikes"
    )
    print(
        f"  with a closer look at each place {closer:.2f} x, {1e3 * each:.1f} ms each: {found.count} events"
    )
    print(f"  {allocated / 1e6:.0f} MB on top of the mapped file")


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("--minutes", type=float, default=60.0)
    asked = parser.parse_args([] if __name__ != "__main__" else None)
    with tempfile.TemporaryDirectory() as folder:
        for every in (60.0, 10.0):
            measure(Path(folder) / "hour.npy", asked.minutes, every)


if __name__ == "__main__":
    main()
