"""How fast recordings are read from text, against ``polars.read_csv`` of the same bytes.

Aim: at most 1.3 times. Two columns, time and force, of 20 and 100 MB, and with decimal commas; read, found
out, checked and put onto an even clock, ready to be measured. Medians of the ratios of alternated runs, so
that a busy machine slows both alike; and the most memory that reading takes, in a fresh process.
"""

from __future__ import annotations

import io
import statistics
import subprocess
import sys
import time
from collections.abc import Callable
from functools import partial
from pathlib import Path

import numpy as np
import polars as pl

from tameshi.force import Origin
from tameshi.readers import Asked, prepare, read_recording

RATE, RUNS, ROWS_OF_A_MEGABYTE = 20_000.0, 9, 47_000
FILES = {"20 MB": (20, False), "20 MB, decimal commas": (20, True), "100 MB": (100, False)}
MEMORY_OF = """
import sys
from benchmarks.text_speed import made, memory, read
data = made(int(sys.argv[1]), decimal_comma=False)
read(made(1, decimal_comma=False))
open("/proc/self/clear_refs", "w").write("5")  # forget the highest mark so far
before = memory("VmRSS")
read(data)
print((memory("VmHWM") - before + len(data)) / len(data))
"""


def memory(kind: str) -> int:
    """Return what the system says of this process's memory. [bytes]"""
    with Path("/proc/self/status").open(encoding="ascii") as status:
        return 1024 * int(next(line.split()[1] for line in status if line.startswith(kind)))


def made(megabytes: int, *, decimal_comma: bool) -> bytes:
    """Return a recording as text."""
    count = megabytes * ROWS_OF_A_MEGABYTE
    force = np.random.default_rng(1).normal(0.0, 300.0, count)
    table = pl.DataFrame({"time_s": np.arange(count) / RATE, "force_N": force})
    if not decimal_comma:
        return table.write_csv(float_precision=6).encode()
    return table.write_csv(float_precision=6, separator=";", decimal_comma=True).encode()


def read(data: bytes) -> object:
    """Read a recording up to where it can be measured."""
    return prepare(read_recording(data, "bench.csv"), Origin("bench.csv", "0" * 64), Asked())


def taken(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return time.perf_counter() - start


def main() -> None:
    for name, (megabytes, decimal_comma) in FILES.items():
        data = made(megabytes, decimal_comma=decimal_comma)
        table = partial(pl.read_csv, separator=";" if decimal_comma else ",", decimal_comma=decimal_comma)
        read(data)
        table(io.BytesIO(data))
        times = [(taken(partial(read, data)), taken(partial(table, io.BytesIO(data)))) for _ in range(RUNS)]
        ratio = statistics.median(ours / theirs for ours, theirs in times)
        ours = statistics.median(ours for ours, _ in times)
        print(f"{name:22} {1e3 * ours:6.0f} ms   {ratio:.2f} x polars.read_csv")
    for megabytes in (20, 100):
        command = [sys.executable, "-c", MEMORY_OF, str(megabytes)]
        told = subprocess.run(command, capture_output=True, text=True, check=True).stdout
        print(f"{megabytes} MB: at most {float(told):.1f} x the file in memory, the file itself included")


if __name__ == "__main__":
    main()
