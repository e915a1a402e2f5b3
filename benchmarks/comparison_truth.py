"""Are differences claimed where there are none, and held where there are? Studies with athletes repeated.

    python -m benchmarks.comparison_truth --studies 5000

Comparing 100 000 strikes is timed against a plain script of SciPy calls in the same run.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray
from scipy.stats import mannwhitneyu, ttest_ind

from tameshi.comparison import Trial, difference, sample_of
from tameshi.quantity import Quantity, Source

DESIGNS = {
    # athletes, sessions, strikes each way; scatter of athletes, their leaning, sessions, strikes
    "6 athletes, 2 sessions, 4 to 6 strikes": (6, 2, 4, (400.0, 80.0, 60.0, 150.0)),
    "3 athletes, 1 session, 5 to 7 strikes": (3, 1, 5, (400.0, 80.0, 60.0, 150.0)),
    "10 athletes, 1 session, 2 to 4 strikes": (10, 1, 2, (400.0, 80.0, 60.0, 150.0)),
    "2 athletes, 2 sessions, 4 to 6 strikes": (2, 2, 4, (400.0, 0.0, 60.0, 150.0)),
    "1 athlete, 1 session, 6 to 8 strikes": (1, 1, 6, (400.0, 0.0, 60.0, 150.0)),
    "1 athlete, 4 sessions, 3 to 5 strikes": (1, 4, 3, (400.0, 0.0, 60.0, 150.0)),
}
Scatter = tuple[float, float, float, float]


def study(
    rng: np.random.Generator, shape: tuple[int, int, int], scatter: Scatter, gap: float
) -> tuple[list[Trial], list[Trial]]:
    athletes, sessions, strikes = shape
    sides: tuple[list[Trial], list[Trial]] = ([], [])
    for who in range(athletes):
        level, leaning = 3000.0 + rng.normal(0.0, scatter[0]), gap + rng.normal(0.0, scatter[1])
        for day in range(sessions):
            today = rng.normal(0.0, scatter[2])
            for side in (0, 1):
                for number in range(strikes + int(rng.integers(0, 3))):
                    value = level + today + leaning * (side == 0) + rng.normal(0.0, scatter[3])
                    source = Source(f"{who}/{day}/{side}/{number}", "noise")
                    quantity = Quantity(value, "N", {source: 5.0})
                    sides[side].append(Trial(value=quantity, athlete=f"A{who}", session=f"s{day}"))
    return sides


def claims(studies: int, seed: int) -> None:
    print(f"{'design':42s} {'unit':8s} {'claimed':>8s} {'null held':>9s} {'gap held':>8s}")
    for place, (name, (athletes, sessions, strikes, scatter)) in enumerate(DESIGNS.items()):
        rng = np.random.default_rng([seed, place])
        shape = (athletes, sessions, strikes)
        claimed = held = 0
        unit = ""
        for _ in range(studies):
            found = difference(*study(rng, shape, scatter, 0.0))
            claimed += found.p < 0.05
            held += found.value.low <= 0.0 <= found.value.high
            unit = found.design.unit
        with_gap = sum(
            found.value.low <= 200.0 <= found.value.high
            for found in (difference(*study(rng, shape, scatter, 200.0)) for _ in range(studies // 5))
        )
        share = 100.0 * with_gap / (studies // 5)
        print(
            f"{name:42s} {unit:8s} {100.0 * claimed / studies:7.2f}% "
            f"{100.0 * held / studies:8.2f}% {share:7.1f}%"
        )


def speed(count: int) -> None:
    rng = np.random.default_rng(1)
    values = rng.normal(3000.0, 200.0, (2, count // 2))
    shared = Source("cal", "calibration")
    sides = [
        [
            Trial(
                value=Quantity(value, "N", {Source(f"{side}/{n}", "noise"): 5.0, shared: 0.01 * value}),
                athlete="A1",
                session="s1",
                order=float(n),
            )
            for n, value in enumerate(those.tolist())
        ]
        for side, those in enumerate(values)
    ]

    def ours() -> None:
        for side in sides:
            sample_of(side)
        difference(*sides)

    def plain() -> None:
        for those in values:
            those.mean(), those.std(ddof=1), np.median(those)
        ttest_ind(*values, equal_var=False)
        mannwhitneyu(*values)

    mine, theirs = _timed(ours), _timed(plain)
    print(f"{count} strikes: {mine:.2f} s with budgets, plain SciPy {theirs:.3f} s: {mine / theirs:.0f} x")


def _timed(work: Callable[[], None]) -> float:
    times: list[float] = []
    for _ in range(3):
        start = time.perf_counter()
        work()
        times.append(time.perf_counter() - start)
    middle: NDArray[np.float64] = np.asarray(times)
    return float(np.median(middle))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studies", type=int, default=1000)
    parser.add_argument("--strikes", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=3)
    asked, _ = parser.parse_known_args()
    claims(asked.studies, asked.seed)
    speed(asked.strikes)


if __name__ == "__main__":
    main()
