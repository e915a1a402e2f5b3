"""The two limits between which a transfer lies where nothing is known of the striker.

A light striker on a hard part: the part feels what the plate felt, and the recorded pulse drives it as it is.
A heavy striker on a soft part: the slowest and so the heaviest striker that can have left the impulse, on the
softest and lightest the part may be.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.reference import row
from tameshi.target.head import injury_criterion
from tameshi.target.head.metrics import LONG, SHORT
from tameshi.target.transfer.band import Band, limits
from tameshi.target.transfer.blow import Blow
from tameshi.target.transfer.by_energy import Springs, meet
from tameshi.target.transfer.draws import EXPONENTS, striker_springs
from tameshi.target.transfer.part import BodyPart, PartModel
from tameshi.target.transfer.recorded import drive, scaled_pulse
from tameshi.target.transfer.striker import damping_of

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Limits:
    """Two limits of what arrives; no share of anything is claimed to lie between them.

    Parameters
    ----------
    force : Band
        Peak force. [N]
    acceleration : Band
        Of the part. [m/s2]
    speed : Band or None
        Of the part after the recorded pulse. [m/s]
    hic15, hic36 : Band or None
        For heads with a recorded pulse. [s, accelerations in g0]
    """

    force: Band
    acceleration: Band
    speed: Band | None = None
    hic15: Band | None = None
    hic36: Band | None = None


@dataclass(frozen=True, slots=True)
class _Scale:
    force: float
    time: float
    mass: float


def transfer_limits(blow: Blow, part: BodyPart) -> Limits:
    """Return the limits of what of a blow arrives at a part, whatever struck.

    Parameters
    ----------
    blow : Blow
    part : BodyPart

    Returns
    -------
    Limits
        Without their upper ends where the plate was padded: a bare part may take more than a padded plate.
    """
    soft = min((_heavy_on_soft(blow, model) for model in part.models), key=lambda one: one.force)
    lightest = min(model.mass.low for model in part.models)
    heaviest = max(model.mass.high for model in part.models)
    hard = _Scale(1.0, 1.0, lightest) if blow.pad.is_bare else None
    least = _Scale(soft.force, soft.time, heaviest)
    peak = blow.peak_force
    force = limits(peak.low * least.force, peak.high if hard else None, "N")
    acceleration = limits(peak.low * least.force / least.mass, peak.high / lightest if hard else None, "m/s2")
    if blow.force is None:
        return Limits(force=force, acceleration=acceleration)
    pulse, rate = blow.force, blow.rate

    def speed(scale: _Scale) -> float:
        driven = drive(scale.force * pulse, rate / scale.time, scale.mass)
        return float(driven.speed[-1])

    def hic(scale: _Scale, longest: float) -> float:
        shape = scaled_pulse(pulse, rate, force_ratio=scale.force, time_ratio=scale.time, mass=scale.mass)
        return injury_criterion(shape, longest).value

    return Limits(
        force=force,
        acceleration=acceleration,
        speed=limits(speed(least), speed(hard) if hard else None, "m/s"),
        hic15=limits(hic(least, SHORT), hic(hard, SHORT) if hard else None, "s") if part.is_head else None,
        hic36=limits(hic(least, LONG), hic(hard, LONG) if hard else None, "s") if part.is_head else None,
    )


def _heavy_on_soft(blow: Blow, model: PartModel) -> _Scale:
    """Return force and time over those on the plate for the heaviest striker on the softest part.

    A pad on the plate is left in the striker's spring: that softens it, and the limit stays a lower one.
    """
    on_plate, on_part = np.array([0.0, 1.0, 0.0, 1.0]), np.array([0.0, 0.0, 1.0, 1.0])
    lost, lost_on_part = damping_of(on_plate), damping_of(on_part)
    slow = np.full(len(lost), float(row("transfer_limits", "slowest")["value"]))
    heavy = blow.impulse.high / ((1.0 + on_plate) * slow)
    part, soft = np.full(len(lost), model.mass.low), np.full(len(lost), model.stiffness.low)
    none = np.full(len(lost), np.inf)
    peak = np.full(len(lost), blow.peak_force.value)
    found = []
    for exponent in EXPONENTS:
        _, spring = striker_springs(exponent, heavy, slow, damping=lost, peak=peak, pad=none)
        wall = meet(heavy, slow, lost, Springs(exponent=exponent, striker=spring, body=none))
        free = meet(
            heavy * part / (heavy + part),
            slow,
            lost_on_part,
            Springs(exponent=exponent, striker=spring, body=soft),
        )
        ratio = free.peak_force / wall.peak_force
        place = int(np.argmin(ratio))
        found.append(
            _Scale(float(ratio[place]), float((free.duration / wall.duration)[place]), model.mass.low)
        )
    return min(found, key=lambda one: one.force)
