"""How long ``tameshi --help`` takes, against importing numpy alone in the same run.

Aim: at most 1.5 times. Medians of alternating runs, so that a busy machine slows both alike.
"""

from __future__ import annotations

import statistics
import subprocess
import sys
import time

RUNS = 21
COMMANDS = {
    "python alone": [sys.executable, "-c", "pass"],
    "import numpy": [sys.executable, "-c", "import numpy"],
    "tameshi --help": [sys.executable, "-m", "tameshi", "--help"],
    "tameshi --version": [sys.executable, "-m", "tameshi", "--version"],
}


def main() -> None:
    times: dict[str, list[float]] = {name: [] for name in COMMANDS}
    for _ in range(RUNS):
        for name, command in COMMANDS.items():
            start = time.perf_counter()
            subprocess.run(command, stdout=subprocess.DEVNULL, check=True)
            times[name].append(time.perf_counter() - start)
    floor = statistics.median(times["import numpy"])
    for name, taken in times.items():
        median = statistics.median(taken)
        print(f"{name:18} {1e3 * median:6.0f} ms   {median / floor:.2f} x import numpy")


if __name__ == "__main__":
    main()
