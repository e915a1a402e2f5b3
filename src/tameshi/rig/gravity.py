"""Local gravity, where masses stand for forces."""

from __future__ import annotations

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, Source, exact, rectangular_u
from tameshi.reference import row

_UNIT = "m/s2"


def local_gravity(stated: float | None = None) -> Quantity:
    """Return local gravity: as stated, else standard gravity with what latitude may change. [m/s2]

    Parameters
    ----------
    stated : float or None
        Taken as exact; None where it is not known. [m/s2]

    Raises
    ------
    WrongUseError
        If it lies outside what there is on earth.
    """
    standard = row("drops", "gravity")
    value, half_width = float(standard["value"]), float(standard["half_width"])
    if stated is None:
        part = rectangular_u(half_width) * value
        return Quantity(value, _UNIT, {Source("local gravity", "local gravity"): part})
    if abs(stated / value - 1.0) > 2.0 * half_width:
        raise WrongUseError(
            "wrong-gravity",
            f"A gravity of {stated:.5g} m/s2 is found nowhere on the ground.",
            hint="It lies between 9.78 and 9.83 m/s2; leave it out where it is not known.",
        )
    return exact(stated, _UNIT)
