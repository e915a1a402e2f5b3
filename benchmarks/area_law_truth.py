"""Exponents of area against force from simulated prints of known law: bias, coverage, wrong laws left."""

from __future__ import annotations

import math
import sys
from dataclasses import dataclass

import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.pressure import area_law
from tameshi.quantity import Quantity, Source

RUNS = 1000
CALIBRATION, SCALE = 0.01, 0.005  # shared by all prints of a run


@dataclass(frozen=True)
class Case:
    """How prints of a run come about; uncertainties and scatter are relative."""

    prints: int
    exponent: float
    range: float
    human: float
    force_u: float
    area_u: float


CASES = (
    Case(5, 2 / 3, 3.0, 0.08, 0.02, 0.02),
    Case(6, 1 / 2, 2.0, 0.05, 0.02, 0.01),
    Case(8, 2 / 3, 2.0, 0.02, 0.02, 0.02),
    Case(8, 0.0, 2.0, 0.03, 0.01, 0.03),
    Case(12, 1 / 2, 1.8, 0.10, 0.03, 0.01),
    Case(20, 2 / 3, 3.0, 0.05, 0.05, 0.02),
    Case(40, 1 / 2, 4.0, 0.15, 0.02, 0.02),
)


def drawn(case: Case, rng: np.random.Generator) -> tuple[list[Quantity], list[Quantity]]:
    """Return forces and areas as they would be measured."""
    true = 1500.0 * np.exp(rng.uniform(0.0, math.log(case.range), case.prints))
    area = 12e-4 * (true / 3000.0) ** case.exponent * np.exp(rng.normal(0.0, case.human, case.prints))
    force = true * (1.0 + case.force_u * rng.normal(size=case.prints) + CALIBRATION * rng.normal())
    area = area * (1.0 + case.area_u * rng.normal(size=case.prints) + SCALE * rng.normal())
    forces = [
        Quantity(
            f, "N", {Source("cal", "calibration"): CALIBRATION * f, Source(f"f{i}", "n"): case.force_u * f}
        )
        for i, f in enumerate(force.tolist())
    ]
    areas = [
        Quantity(a, "m2", {Source("bar", "scale"): SCALE * a, Source(f"a{i}", "edge"): case.area_u * a})
        for i, a in enumerate(area.tolist())
    ]
    return forces, areas


def measure(case: Case, runs: int, rng: np.random.Generator) -> str:
    """Return one row of the table."""
    held, band, alone, wrong, refused = 0, 0, 0, 0, 0
    errors, halves = [], []
    for _ in range(runs):
        try:
            law = area_law(*drawn(case, rng))
        except UnmeasurableError:
            refused += 1
            continue
        held += law.exponent.low <= case.exponent <= law.exponent.high
        at = law.area_at(3000.0)
        band += at.low <= 12e-4 <= at.high
        errors.append(law.exponent.value - case.exponent)
        halves.append(0.5 * (law.exponent.high - law.exponent.low))
        alone += len(law.inside) == 1
        wrong += len(law.inside) == 1 and abs(law.inside[0].exponent - case.exponent) > 0.01
    count = runs - refused
    return (
        f"{case.prints:6d} {case.exponent:5.2f} {case.range:5.1f} {case.human:6.2f} "
        f"{held / count:9.1%} {band / count:8.1%} {np.mean(errors):+8.3f} {np.median(halves):8.3f} "
        f"{alone / count:9.1%} {wrong / count:7.1%} {refused:8d}"
    )


def main(runs: int = RUNS) -> None:
    rng = np.random.default_rng(20260704)
    print(f"{runs} runs a row; 95 % intervals should hold the truth in 92 to 98 %")
    print("prints     n range  human  exponent     band     bias     half  one left   wrong  refused")
    for case in CASES:
        print(measure(case, runs, rng), flush=True)


if __name__ == "__main__":
    main(*map(int, sys.argv[1:2]))
