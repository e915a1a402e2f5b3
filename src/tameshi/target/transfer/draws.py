"""Draws of a strike on a plate, each taken over to a free part of the body."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError
from tameshi.reference import row
from tameshi.target.transfer.blow import Blow
from tameshi.target.transfer.by_energy import Met, Springs, energy_left, meet
from tameshi.target.transfer.part import PartModel
from tameshi.target.transfer.spread import draw_known, draw_together
from tameshi.target.transfer.striker import Striker, Strikers, draw_restitution, draw_strikers

FloatArray = NDArray[np.float64]
EXPONENTS = (1.0, 1.5)
"""Laws of the striker's spring, drawn equally often: straight, and hardening like a rounded body."""

_AT_ONCE = 4000


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Passed:
    """Draws of what arrives at a part.

    Parameters
    ----------
    force : (d,) array
        Peak force. [N]
    duration : (d,) array [s]
    impulse : (d,) array [N s]
    mass : (d,) array
        Of the part. [kg]
    force_ratio, time_ratio : (d,) array
        Peak force and duration over those on the plate.
    striker_mass, striker_speed, striker_stiffness : (d,) array
        [kg], [m/s], [N/m, force over depth at the peak]
    likeness_is_low : bool
        Whether hardly any published strike fits.
    """

    force: FloatArray
    duration: FloatArray
    impulse: FloatArray
    mass: FloatArray
    force_ratio: FloatArray
    time_ratio: FloatArray
    striker_mass: FloatArray
    striker_speed: FloatArray
    striker_stiffness: FloatArray
    likeness_is_low: bool


def draw_passed(
    blow: Blow, part: PartModel, striker: Striker, *, draws: int, generator: np.random.Generator
) -> Passed:
    """Return draws of what of a blow arrives at a part.

    Parameters
    ----------
    blow : Blow
    part : PartModel
    striker : Striker
    draws : int
    generator : numpy Generator

    Raises
    ------
    UnmeasurableError
        ``too-uncertain``, ``striker-contradicts``, ``unlike-published``, ``pad-contradicts``.
    """
    peak, impulse, duration = draw_together((blow.peak_force, blow.impulse, blow.duration), generator, draws)
    met = draw_strikers(striker, impulse, generator)
    peak, duration = peak[met.kept], duration[met.kept]
    count = len(peak)
    pad = np.full(count, np.inf)
    if blow.pad.stiffness is not None:
        pad = draw_known(blow.pad.stiffness, generator, count)
    stiffness, mass = part.stiffness.draw(generator, count), part.mass.draw(generator, count)
    e, q = draw_restitution(generator, count)
    law = generator.integers(0, len(EXPONENTS), count)
    pieces = [
        _passed(exponent, chosen, met, peak, pad, stiffness, mass, q)
        for place, exponent in enumerate(EXPONENTS)
        for chosen in _pieces(np.flatnonzero(law == place))
    ]
    kept = np.concatenate([piece.kept for piece in pieces])
    _refuse_few(len(kept), count)
    force, ratio_of_time = (
        np.concatenate([getattr(piece, name) for piece in pieces]) for name in ("force", "time_ratio")
    )
    reduced = met.mass[kept] * mass[kept] / (met.mass[kept] + mass[kept])
    return Passed(
        force=force,
        duration=duration[kept] * ratio_of_time,
        impulse=(1.0 + e[kept]) * reduced * met.speed[kept],
        mass=mass[kept],
        force_ratio=force / peak[kept],
        time_ratio=ratio_of_time,
        striker_mass=met.mass[kept],
        striker_speed=met.speed[kept],
        striker_stiffness=np.concatenate([piece.stiffness for piece in pieces]),
        likeness_is_low=met.is_unlike,
    )


@dataclass(frozen=True, slots=True, eq=False)
class _Piece:
    kept: NDArray[np.int64]
    force: FloatArray
    time_ratio: FloatArray
    stiffness: FloatArray


def _pieces(chosen: NDArray[np.int64]) -> list[NDArray[np.int64]]:
    return [chosen[start : start + _AT_ONCE] for start in range(0, len(chosen), _AT_ONCE)]


def _passed(  # noqa: PLR0913, PLR0917  one array an input
    exponent: float,
    chosen: NDArray[np.int64],
    met: Strikers,
    peak: FloatArray,
    pad: FloatArray,
    stiffness: FloatArray,
    mass: FloatArray,
    q: FloatArray,
) -> _Piece:
    """Return what arrives in draws of one law of the striker."""
    heavy, fast = met.mass[chosen], met.speed[chosen]
    loss = met.damping[chosen]
    top, spring = striker_springs(exponent, heavy, fast, damping=loss, peak=peak[chosen], pad=pad[chosen])
    fits = np.isfinite(spring) & (spring > 0.0)
    chosen, spring, heavy, fast, top = chosen[fits], spring[fits], heavy[fits], fast[fits], top[fits]
    wall = meet(heavy, fast, loss[fits], Springs(exponent=exponent, striker=spring, body=pad[chosen]))
    reduced = heavy * mass[chosen] / (heavy + mass[chosen])
    free = meet(
        reduced,
        fast,
        q[chosen],
        Springs(exponent=exponent, striker=spring, body=stiffness[chosen]),
    )
    # whatever lies behind it, the striker's spring is never given more energy than by a bare plate
    bare = meet(
        heavy, fast, loss[fits], Springs(exponent=exponent, striker=spring, body=np.full(len(chosen), np.inf))
    )
    most = peak[chosen] * bare.peak_force / wall.peak_force
    return _Piece(
        kept=chosen,
        force=np.minimum(free.peak_force, most),
        time_ratio=free.duration / wall.duration,
        stiffness=top / (top / spring) ** (1.0 / exponent),
    )


def striker_springs(
    exponent: float,
    mass: FloatArray,
    speed: FloatArray,
    *,
    damping: FloatArray,
    peak: FloatArray,
    pad: FloatArray,
) -> tuple[FloatArray, FloatArray]:
    """Return the spring of a striker that makes a peak force on a plate.

    Parameters
    ----------
    exponent : float
        n of its law F = k x^n.
    mass, speed : (d,) array [kg], [m/s]
    damping : (d,) array
        q of the contact with the plate.
    peak : (d,) array [N]
    pad : (d,) array
        Stiffness of the pad on the plate, infinite where there is none. [N/m]

    Returns
    -------
    greatest elastic force : (d,) array [N]
    k : (d,) array
        Not a number where the pad alone would have held the energy at a lower force. [N/m^n]
    """
    one = np.ones_like(mass)
    power = (exponent + 1.0) / exponent
    unit: Met = meet(one, one, damping, Springs(exponent=exponent, striker=one, body=np.inf * one))
    stored = energy_left(np.zeros_like(damping), damping)
    # peak force over greatest elastic force, by damping alone
    over = unit.peak_force / (stored * (exponent + 1.0)) ** (1.0 / power)
    top = peak / over
    left = mass * speed**2 * stored - 0.5 * top**2 / pad
    with np.errstate(invalid="ignore"):
        factor = np.where(left > 0.0, left, np.nan) / top**power
        spring: FloatArray = ((exponent + 1.0) * factor) ** -exponent
    return top, spring


def _refuse_few(kept: int, count: int) -> None:
    if kept < float(row("transfer_limits", "fewest-agreeing")["value"]) * count:
        raise UnmeasurableError(
            "pad-contradicts",
            "A pad as soft as that would have held this strike at a lower force.",
            hint="Check the pad's stiffness under a strike, and the striker's mass and speed.",
        )
