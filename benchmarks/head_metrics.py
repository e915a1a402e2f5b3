"""How fast the head injury criterion is found, against trying every window, and what memory it takes.

Aim: a pulse of 100 000 samples at least a hundred times faster than the plain double loop, in memory that
grows with the samples and not with the windows. The double loop would take minutes: it runs over evenly
spread beginnings of windows, each with all its ends, and its time is scaled up to all of them. Beside it
stands the same search with the inner loop in numpy, in full. Both answers must agree.

    python -m benchmarks head_metrics
"""

from __future__ import annotations

import statistics
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.target.head import Pulse, injury_criterion, pulse_of

FloatArray = NDArray[np.float64]
SAMPLES, RUNS, BEGINNINGS = 100_000, 9, 60
LONGEST = 0.036
AGREEMENT = 1e-9


def pulses(count: int) -> dict[str, Pulse]:
    """Return pulses of so many samples that are hard in different ways."""
    rng = np.random.default_rng(5)
    x = np.linspace(0.0, 1.0, count)
    rate = count / 0.1  # over 100 ms
    return {
        "half-sine of 100 ms": pulse_of(60.0 * np.sin(np.pi * x), rate),
        "the same with noise": pulse_of(60.0 * np.sin(np.pi * x) + rng.normal(0.0, 5.0, count), rate),
        "three humps": pulse_of(80.0 * np.abs(np.sin(3.0 * np.pi * x)) * (1.0 - 0.3 * x), rate),
        "level": pulse_of(np.full(count, 50.0), rate),
        "noise alone": pulse_of(np.abs(rng.normal(0.0, 50.0, count)), rate),
        "one second, noise": pulse_of(np.abs(rng.normal(0.0, 50.0, count)), count / 1.0),
    }


def integral(pulse: Pulse) -> FloatArray:
    a = pulse.acceleration
    return np.concatenate(([0.0], np.cumsum(0.5 * (a[1:] + a[:-1])))) * pulse.step


def loop_seconds(pulse: Pulse) -> float:
    """Return what the plain double loop would take, from some of its beginnings. [s]"""
    total, step = integral(pulse).tolist(), pulse.step
    most = int(LONGEST / step * (1.0 + 1e-12))
    starts = np.linspace(0, len(total) - 2, BEGINNINGS).astype(int).tolist()
    best, tried = 0.0, 0
    began = time.perf_counter()
    for first in starts:
        for last in range(first + 1, min(first + most, len(total) - 1) + 1):
            gained = total[last] - total[first]
            if gained > 0.0:
                best = max(best, gained**2.5 / ((last - first) * step) ** 1.5)
            tried += 1
    spent = time.perf_counter() - began
    all_windows = sum(min(most, len(total) - 1 - first) for first in range(len(total) - 1))
    return spent * all_windows / tried


def by_rows(pulse: Pulse) -> float:
    """Return the criterion by every window, one beginning at a time in numpy."""
    total, step = integral(pulse), pulse.step
    most = int(LONGEST / step * (1.0 + 1e-12))
    widths = (np.arange(1, most + 1) * step) ** 1.5
    best = 0.0
    for first in range(len(total) - 1):
        gained = np.maximum(total[first + 1 : first + 1 + most] - total[first], 0.0)
        best = max(best, float((gained * gained * np.sqrt(gained) / widths[: len(gained)]).max()))
    return best


def seconds(work: Callable[[], object], runs: int) -> float:
    taken = []
    for _ in range(runs):
        began = time.perf_counter()
        work()
        taken.append(time.perf_counter() - began)
    return statistics.median(taken)


def peak_bytes(pulse: Pulse) -> int:
    tracemalloc.start()
    injury_criterion(pulse, LONGEST)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


def main() -> None:
    print(f"HIC36 of {SAMPLES} samples, windows that end on samples; and anywhere, with its memory")
    for name, pulse in pulses(SAMPLES).items():
        quick = seconds(lambda pulse=pulse: injury_criterion(pulse, LONGEST, ends="samples"), RUNS)  # type: ignore[misc]
        exact = seconds(lambda pulse=pulse: injury_criterion(pulse, LONGEST), RUNS)  # type: ignore[misc]
        began = time.perf_counter()
        known = by_rows(pulse)
        rows = time.perf_counter() - began
        loop = loop_seconds(pulse)
        found = injury_criterion(pulse, LONGEST, ends="samples").value
        agrees = abs(found - known) <= AGREEMENT * known
        print(
            f"{name:20} {1e3 * quick:6.1f} ms, {loop / quick:7.0f} x the double loop ({loop:.0f} s), "
            f"{rows / quick:5.0f} x rows in numpy ({rows:.1f} s), agrees: {'yes' if agrees else 'NO'}; "
            f"anywhere {1e3 * exact:6.1f} ms"
        )
    for count in (SAMPLES // 4, SAMPLES, 4 * SAMPLES):
        of = {name: peak_bytes(pulse) / count for name, pulse in pulses(count).items()}
        worst = max(of, key=lambda name: of[name])
        print(f"{count} samples: at most {of[worst]:.0f} bytes a sample ({worst})")


if __name__ == "__main__":
    main()
