"""From what a channel holds to newtons, and how uncertain that step is.

A channel may hold volts behind a calibrated chain, volts behind a chain known only by its ratings,
volts with a scale typed by hand, or newtons already. Each is a :class:`Conversion`: a function from
reading to force and a list of error terms, each a function of force.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.quantity import Source, rectangular_u
from tameshi.reference import row
from tameshi.rig.calibrating import Calibration, force_loadings, force_of_reading
from tameshi.rig.model import Rig

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True)
class ErrorTerm:
    """One error of the conversion.

    Parameters
    ----------
    source : Source
        Its identity and budget line.
    at : callable
        Signed contribution to the standard uncertainty at each force, (n,) array to (n,) array. [N]
    each_strike : bool
        True where every strike draws it anew (repeatability), False where it is the same error
        every time.
    """

    source: Source
    at: Callable[[FloatArray], FloatArray]
    each_strike: bool = False


@dataclass(frozen=True, slots=True)
class Conversion:
    """How a change of reading becomes a force.

    Parameters
    ----------
    origin : str
        ``"calibration"``, ``"ratings"``, ``"stated scale"`` or ``"newtons in the file"``.
    to_force : callable
        Reading minus reading before contact -> force, (n,) array to (n,) array. [N]
    sensitivity : float
        Reading for one newton, near zero.
    errors : tuple of ErrorTerm
    greatest : float or None
        Greatest force the conversion is backed for. [N]
    flags : tuple of Flag
    """

    origin: str
    to_force: Callable[[FloatArray], FloatArray]
    sensitivity: float
    errors: tuple[ErrorTerm, ...]
    greatest: float | None
    flags: tuple[Flag, ...] = ()


def conversion_of_rig(rig: Rig) -> Conversion:
    """Return how a rig's volts become newtons: by its calibration, else by its ratings.

    Parameters
    ----------
    rig : Rig

    Returns
    -------
    Conversion
        From ratings it carries the flag ``uncalibrated`` and the tolerances of every stage.
    """
    if rig.calibration is not None:
        return _by_calibration(rig, rig.calibration)
    return _by_ratings(rig)


def conversion_by_scale(newtons_per_unit: float, *, origin: str, identity: str) -> Conversion:
    """Return a conversion by a plain factor that nothing vouches for.

    Parameters
    ----------
    newtons_per_unit : float
        Newtons for one unit of the reading.
    origin : str
        ``"stated scale"`` or ``"newtons in the file"``.
    identity : str
        Results with the same identity share the scale's error.
    """
    message = (
        "The recording is in newtons, but nothing says how its chain was calibrated"
        if origin == "newtons in the file"
        else "The force scale was typed in, and nothing says how it was found"
    )
    allowance = _allowance("stated-scale")
    return Conversion(
        origin=origin,
        to_force=lambda change: change * newtons_per_unit,
        sensitivity=1.0 / newtons_per_unit,
        errors=(_gain_error(f"{identity}:stated-scale", "calibration", allowance),),
        greatest=None,
        flags=(Flag("uncalibrated", f"{message}; ±{allowance:.1%} is allowed for it."),),
    )


def _by_calibration(rig: Rig, calibration: Calibration) -> Conversion:
    key = f"calibration:{calibration.identity}"
    errors = [_fit_error(key, calibration, axis) for axis in range(calibration.degree)]
    scatter = calibration.residual_sd / abs(calibration.coefficients[1])
    errors.append(
        ErrorTerm(
            Source(f"{key}:scatter", "repeatability", calibration.dof, group=key),
            lambda force: np.full_like(force, scatter) * _envelope(force / calibration.greatest),
            each_strike=True,
        )
    )
    if calibration.misfit > 0.0:
        bend = rectangular_u(calibration.misfit / abs(calibration.coefficients[1]))
        errors.append(
            ErrorTerm(
                Source(f"{key}:misfit", "linearity"),
                lambda force: bend * _envelope(force / calibration.greatest),
            )
        )
    mounting = _share(rig.plate.mounting_tolerance, "mounting-calibrated")
    errors.append(_gain_error(f"rig:{rig.identity}:mounting", "mounting", mounting))
    if calibration.load_u > 0.0:
        errors.append(
            ErrorTerm(Source(f"{key}:loads", "known loads"), lambda force: calibration.load_u * force)
        )
    beyond = _share(rig.cell.linearity, "linearity") * rig.cell.capacity
    errors.append(
        ErrorTerm(
            Source(f"{key}:beyond", "extrapolation"),
            lambda force: rectangular_u(beyond) * np.maximum(0.0, force / calibration.greatest - 1.0),
        )
    )
    return Conversion(
        origin="calibration",
        to_force=lambda change: force_of_reading(calibration, change),
        sensitivity=calibration.coefficients[1],
        errors=tuple(errors),
        greatest=calibration.greatest,
    )


def _by_ratings(rig: Rig) -> Conversion:
    key, cell, amplifier = f"rig:{rig.identity}", rig.cell, rig.amplifier
    gains = {
        "rated output": _share(cell.rated_output_tolerance, "rated-output"),
        "excitation": _share(amplifier.excitation_tolerance, "excitation"),
        "gain": _share(amplifier.gain_tolerance, "gain"),
        "mounting": _share(rig.plate.mounting_tolerance, "mounting"),
    }
    shapes = {
        "linearity": _share(cell.linearity, "linearity"),
        "hysteresis": _share(cell.hysteresis, "hysteresis"),
        "repeatability": _share(cell.repeatability, "repeatability"),
    }
    errors = [_gain_error(f"{key}:{name}", name, bound) for name, bound in gains.items()]
    errors += [_shape_error(f"{key}:{name}", name, bound, cell.capacity) for name, bound in shapes.items()]
    combined = sum(rectangular_u(bound) ** 2 for bound in gains.values()) ** 0.5
    message = (
        "The rig file holds no calibration, so newtons follow from the ratings on the data sheets "
        f"(standard uncertainty of the scale {combined:.1%})."
    )
    return Conversion(
        origin="ratings",
        to_force=lambda change: change / rig.rated_sensitivity,
        sensitivity=rig.rated_sensitivity,
        errors=tuple(errors),
        greatest=cell.capacity,
        flags=(Flag("uncalibrated", message),),
    )


def _fit_error(key: str, calibration: Calibration, axis: int) -> ErrorTerm:
    source = Source(f"{key}:{axis}", "calibration", calibration.dof, group=key)
    return ErrorTerm(source, lambda force: force_loadings(calibration, force)[axis])


def _gain_error(key: str, name: str, half_width: float) -> ErrorTerm:
    u = rectangular_u(half_width)
    return ErrorTerm(Source(key, name), lambda force: u * force)


def _shape_error(key: str, name: str, share: float, capacity: float) -> ErrorTerm:
    u = rectangular_u(share * capacity)
    return ErrorTerm(
        Source(key, name),
        lambda force: u * _envelope(force / capacity),
        each_strike=name == "repeatability",
    )


def _envelope(load: FloatArray) -> FloatArray:
    """Return how much of a bound given at capacity can show at a share of capacity.

    A cell that is zeroed has no error at zero; its departures from the line grow from there, as a
    parabola through zero and capacity would, up to the stated bound at half load and beyond.
    """
    share = np.clip(np.abs(load), 0.0, 0.5)
    grown: FloatArray = 4.0 * share * (1.0 - share)
    return grown


def _share(stated: float | None, default_key: str) -> float:
    return _allowance(default_key) if stated is None else stated


def _allowance(key: str) -> float:
    return float(row("chain_defaults", key)["half_width"])
