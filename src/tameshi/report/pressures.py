"""What a report says about the pressure under a strike."""

from __future__ import annotations

from tameshi.pressure import ContactModel, Pressure
from tameshi.quantity import Quantity
from tameshi.report.frame import Frame
from tameshi.report.notation import Entry, Notation
from tameshi.report.parts import PressurePart
from tameshi.report.remarks import remarks
from tameshi.study import Joined

_UNBOUNDED = "unbounded-edge"


def pressure_part(one: Joined, frame: Frame) -> PressurePart | None:
    """Return the pressure of a strike, None where there is none.

    Parameters
    ----------
    one : Joined
    frame : Frame
    """
    pressure = one.pressure
    if pressure is None:
        return None
    notation = frame.notation
    own = [flag.as_dict() for flag in pressure.flags if (flag.code, flag.message) not in frame.raised]
    return PressurePart(
        force=notation.entry(pressure.force),
        area=notation.entry(pressure.area),
        mean=notation.entry(pressure.mean_pressure),
        local=_local(pressure, notation),
        bounded=all(flag.code != _UNBOUNDED for flag in pressure.flags),
        own_print=pressure.own_print,
        prints=tuple(frame.prints[one_print.original.sha256] for one_print in one.prints),
        remarks=remarks(own),
    )


def _local(pressure: Pressure, notation: Notation) -> tuple[tuple[ContactModel, Entry], ...]:
    """Return the greatest local pressure under each model, with the interval of the mean stretched."""
    return tuple(
        (model, notation.entry(stretched(pressure.mean_pressure, model.factor)))
        for model in pressure.band.models
    )


def stretched(mean: Quantity, factor: float) -> Quantity:
    """Return a mean pressure times the factor of a contact model, its interval with it."""
    local = mean * factor
    return local if mean.interval is None else local.with_interval(factor * mean.low, factor * mean.high)
