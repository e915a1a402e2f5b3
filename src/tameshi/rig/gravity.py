"""Local gravity, and what a mass weighs in air, where masses stand for forces."""

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


def weight_of_mass(gravity: Quantity) -> Quantity:
    """Return what a kilogram weighs in air: gravity less the air's buoyancy. [N/kg, that is m/s2]

    Parameters
    ----------
    gravity : Quantity
        [m/s2]

    Notes
    -----
    Scales show the conventional mass: that of a weight of 8000 kg/m3 which balances the body in air of
    1.2 kg/m3. In such air every body weighs its conventional mass times g (1 - 1.2/8000), whatever its
    density; in other air light bodies differ a little, which is in the uncertainty. Source: OIML D 28
    (value from memory).
    """
    air = row("calibration_limits", "buoyancy")
    weight = gravity * (1.0 - float(air["air_density"]) / float(air["weight_density"]))
    return weight.with_part(
        Source("buoyancy", "known loads"), rectangular_u(air["half_width"]) * weight.value
    )
