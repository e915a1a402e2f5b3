"""Invented blows of a known striker on a plate."""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from tameshi.quantity import Quantity, Source
from tameshi.target.contact import DissipativeContact
from tameshi.target.transfer import Blow, Pad, follow_contact

MASS, SPEED = 2.5, 8.0
CONTACT = DissipativeContact(stiffness=90e3, exponent=1.0, dissipation=0.04)
RATE = 20_000.0


def figure(value: float, unit: str, relative: float = 0.005) -> Quantity:
    """Return a measured figure: shared calibration and noise of its own."""
    return Quantity(
        value,
        unit,
        {
            Source("calibration", "calibration"): 0.5 * relative * value,
            Source(f"noise {unit}", "noise"): relative * value,
        },
    )


def recorded(
    *,
    mass: float = MASS,
    speed: float = SPEED,
    contact: DissipativeContact = CONTACT,
    pad: Pad | None = None,
    relative: float = 0.005,
) -> Blow:
    """Return what a plate records of a striker."""
    met = follow_contact(mass, np.inf, speed, contact)
    time = np.arange(0.0, met.duration, 1.0 / RATE)
    force: NDArray[np.float64] = np.interp(time, met.time, met.force)
    return Blow(
        index=1,
        peak_force=figure(float(met.force.max()), "N", relative),
        impulse=figure(met.impulse, "N s", relative),
        duration=figure(met.duration, "s", relative),
        pad=Pad("none") if pad is None else pad,
        force=force,
        rate=RATE,
    )
