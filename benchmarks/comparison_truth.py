"""Are differences claimed where there are none, and held where there are? Studies with athletes repeated.

    python -m benchmarks.comparison_truth --studies 5000

Comparing 100 000 strikes is timed against a plain script of statsmodels and SciPy calls in the same run.
"""

from __future__ import annotations

import argparse
import time
from collections.abc import Callable
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray
from scipy.stats import brunnermunzel
from statsmodels.api import OLS, add_constant
from statsmodels.stats.power import TTestIndPower
from statsmodels.stats.weightstats import CompareMeans, DescrStatsW

from tameshi.comparison import Asked, Trial, Wanted, compare, difference
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
APART = {
    # athletes one way, athletes the other, sessions, strikes: nobody struck both ways
    "5 and 5 athletes, 2 sessions, 4 strikes, apart": (5, 5, 2, 4),
    "3 and 4 athletes, 1 session, 6 strikes, apart": (3, 4, 1, 6),
    "1 athlete, 4 and 4 sessions, 6 strikes, apart": (1, 1, 4, 6),
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


def claims_apart(studies: int, seed: int) -> None:
    for place, (name, (one, other, sessions, strikes)) in enumerate(APART.items()):
        rng = np.random.default_rng([seed, 100 + place])
        scatter = (0.0 if one == 1 else 400.0, 0.0, 60.0, 150.0)
        claimed = held = 0
        unit = ""
        for _ in range(studies):
            sides = [study(rng, (count, sessions, strikes), scatter, 0.0)[0] for count in (one, other)]
            # the same letter is the same person only where there is one
            moved = [
                replace(
                    trial,
                    athlete=trial.athlete if one == 1 else f"B{trial.athlete}",
                    session=f"t{trial.session}",
                )
                for trial in sides[1]
            ]
            found = difference(sides[0], moved)
            claimed += found.p < 0.05
            held += found.value.low <= 0.0 <= found.value.high
            unit = found.design.unit
        print(
            f"{name:46s} {unit:8s} claimed {100.0 * claimed / studies:5.2f}%, "
            f"null held {100.0 * held / studies:5.2f}%"
        )


def speed(count: int) -> None:
    rng = np.random.default_rng(1)
    values = rng.normal(3000.0, 200.0, (2, count // 2))
    shared = Source("cal", "calibration")
    groups = {
        name: [
            Trial(
                value=Quantity(value, "N", {Source(f"{name}/{n}", "noise"): 5.0, shared: 0.01 * value}),
                athlete="A1",
                session="s1",
                order=float(n),
            )
            for n, value in enumerate(those.tolist())
        ]
        for name, those in zip(("palm heel", "hammer fist"), values, strict=True)
    }
    ours = _timed(lambda: compare(groups, Asked(with_components=False, wanted=Wanted(share=0.1))))
    theirs = _timed(lambda: plain(values))
    print(
        f"{count} strikes: {ours:.2f} s with budgets, plain statsmodels and SciPy {theirs:.3f} s: "
        f"{ours / theirs:.1f} x"
    )


def plain(values: NDArray[np.float64]) -> None:
    """Do the same with statsmodels and SciPy on bare numbers, without any uncertainty of measurement."""
    for those in values:
        found = DescrStatsW(those)
        found.tconfint_mean(), found.std, np.median(those), np.quantile(those, (0.0, 1.0))
        off = np.abs(those - np.median(those))
        np.flatnonzero(off > 3.5 * 1.4826 * np.median(off))
        OLS(those, add_constant(np.arange(len(those)))).fit().conf_int()
    both = CompareMeans(*map(DescrStatsW, values))
    both.ttest_ind(usevar="unequal"), both.tconfint_diff(usevar="unequal")
    brunnermunzel(*values)
    TTestIndPower().solve_power(effect_size=1.5, alpha=0.05, power=0.8)


def _timed(work: Callable[[], object]) -> float:
    times: list[float] = []
    for _ in range(3):
        start = time.process_time()
        work()
        times.append(time.process_time() - start)
    middle: NDArray[np.float64] = np.asarray(times)
    return float(np.median(middle))


def main() -> None:
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--studies", type=int, default=1000)
    parser.add_argument("--strikes", type=int, default=100_000)
    parser.add_argument("--seed", type=int, default=3)
    asked, _ = parser.parse_known_args()
    claims(asked.studies, asked.seed)
    claims_apart(asked.studies, asked.seed)
    speed(asked.strikes)


if __name__ == "__main__":
    main()
