"""What a report says about the pressure under a strike."""

from __future__ import annotations

from tameshi.pressure import ContactModel, Detail, Pressure, Range
from tameshi.quantity import Missing, Quantity
from tameshi.report.frame import Frame
from tameshi.report.notation import Entry, Notation
from tameshi.report.parts import Named, PressurePart
from tameshi.report.remarks import remarks
from tameshi.study import Joined

_UNBOUNDED = "unbounded-edge"


def pressure_part(one: Joined, detail: Detail | None, frame: Frame) -> PressurePart | None:
    """Return the pressure of a strike, None where there is none.

    Parameters
    ----------
    one : Joined
    detail : Detail or None
        What more is known of it.
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
        on_tissue=notation.entry(stretched(pressure.mean_pressure, pressure.on_tissue.models[-1].factor)),
        bounded=all(flag.code != _UNBOUNDED for flag in pressure.flags),
        area_from=pressure.area_from,
        over_time=_over_time(detail, notation),
        patches=_patches(detail, notation),
        limited_by=tuple(_sentence(one.words) for one in detail.improvements) if detail else (),
        prints=tuple(frame.prints[one_print.original.sha256] for one_print in one.prints),
        remarks=remarks(own),
    )


def _sentence(words: str) -> str:
    return words[:1].upper() + words[1:]


def _over_time(detail: Detail | None, notation: Notation) -> tuple[Named, ...]:
    if detail is None or detail.course is None:
        return ()
    course = detail.course
    return (
        Named("Mean pressure above half its peak for", _entry(course.half_duration, notation)),
        Named("Mean pressure over the contact", _entry(course.pressure_impulse, notation)),
    )


def _patches(detail: Detail | None, notation: Notation) -> tuple[Named, ...]:
    if detail is None or detail.split is None or len(detail.split.patches) == 1:
        return ()
    return tuple(
        Named(f"Mean pressure, patch {one.index}", _entry(one.pressure, notation))
        for one in detail.split.patches
    )


def _entry(found: Quantity | Range, notation: Notation) -> Entry:
    """Return a quantity as shown, or in its place the bounds there are, with the reason."""
    if not isinstance(found, Range):
        return notation.entry(found)
    middle = Quantity(0.5 * (found.low + found.high), found.unit).with_interval(found.low, found.high)
    shown = notation.entry(middle).shown
    ends = "; ".join(dict.fromkeys(f"{one.low} to {one.high} {one.unit}" for one in shown))
    return notation.entry(Missing(found.unit, f"between {ends}, as {found.why}"))


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
