"""Series of known loads with known truth: a curve, hysteresis, drift, scatter, loads a little off."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.quantity import Quantity
from tameshi.rig import Calibration, Rig, conversion_of_rig, fit_calibration

FloatArray = NDArray[np.float64]
GREATEST, SENSITIVITY, ZERO = 5000.0, 4e-4, 0.01  # N, V/N, V
SPAN = GREATEST * SENSITIVITY


@dataclass(frozen=True, kw_only=True)
class Chain:
    """A chain as it truly is; shares of the reading under the greatest load."""

    bend: float = 0.0
    hysteresis: float = 0.0
    drift: float = 0.0
    scatter: float = 3e-4
    load_u: float = 3e-4

    def change(self, loads: FloatArray) -> FloatArray:
        """Return the change of reading from no load, load going up. [V]"""
        share = loads / GREATEST
        return SPAN * (share + 4.0 * self.bend * share * (1.0 - share))


def calibrated(
    chain: Chain, rng: np.random.Generator, *, degree: int, steps: int = 8, runs: int = 2
) -> Calibration:
    """Return the calibration that a person makes of a chain: up and down, several times."""
    up = np.linspace(0.0, GREATEST, steps + 1)
    loads = np.tile(np.concatenate([up, up[-2::-1]]), runs)
    falling = np.tile(np.arange(2 * steps + 1) > steps, runs)
    share = loads / GREATEST
    readings = ZERO + chain.change(loads * (1.0 + rng.normal(0.0, chain.load_u)))
    readings += SPAN * chain.hysteresis * falling * 4.0 * share * (1.0 - share)
    readings += SPAN * chain.drift * np.linspace(0.0, 1.0, len(loads))
    readings += rng.normal(0.0, SPAN * chain.scatter, len(loads))
    return fit_calibration(loads, readings, degree=degree, load_u=chain.load_u)


def read(rig: Rig, chain: Chain, force: float, rng: np.random.Generator) -> Quantity:
    """Return what a calibrated rig makes of one force, load going up, with the calibration's budget. [N]"""
    # a cell that was zeroed scatters as a parabola through zero, up to half load, as the budget has it
    near = min(force / GREATEST, 0.5)
    scatter = SPAN * chain.scatter * 4.0 * near * (1.0 - near)
    change = float(chain.change(np.array([force]))[0]) + float(rng.normal(0.0, scatter))
    conversion = conversion_of_rig(rig)
    found = conversion.to_force(np.array([change]))
    return Quantity(
        float(found[0]), "N", {term.source: float(term.at(found)[0]) for term in conversion.errors}
    )


def with_calibration(rig: Rig, fitted: Calibration) -> Rig:
    """Return a rig with a calibration and a mount that adds nothing."""
    return replace(rig, calibration=fitted, plate=replace(rig.plate, mounting_tolerance=1e-9))
