"""From the curves kept with a recording's result to drawings of force over time."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import numpy as np

from tameshi.quantity import Quantity, from_record
from tameshi.report.drawing import Axis, Curve, FloatArray, ForceTime, Words, thinned
from tameshi.report.notation import Entry, Notation
from tameshi.report.parts import Link

_BEFORE, _AFTER = 0.22, 0.45  # of the contact, shown on either side of it
_POINTS = 400  # across a drawing: more than a phone or a page can tell apart
_FLAT = 0.0025  # of the greatest force: what a line may leave out
_UNDONE = 0.002  # of the peak: a reading that differs by less is not drawn beside the force


def force_time(
    strike: Mapping[str, Any], curve: Mapping[str, Any], *, share: float, place: Link, notation: Notation
) -> ForceTime | None:
    """Return the drawing of a strike, None where its curve does not cover it.

    Parameters
    ----------
    strike : mapping
        As stored.
    curve : mapping
        As :func:`tameshi.study.unpacked` gives it.
    share : float
        Share of the peak that marks onset and end.
    place : Link
        Where the strike stands in the report.
    notation : Notation
    """
    onset, end = float(strike["onset"]), float(strike["end"])
    force: FloatArray = curve["force"]
    time = curve["start"] + np.arange(len(force)) / curve["rate"] - onset
    duration = end - onset
    shown = np.flatnonzero((time >= -_BEFORE * duration) & (time <= (1.0 + _AFTER) * duration))
    if len(shown) < 2:  # noqa: PLR2004  a line needs two
        return None
    time, force, reading = time[shown], force[shown], curve["reading"][shown]
    measured = from_record(strike["peak_force"])
    peak = measured.value if isinstance(measured, Quantity) else None
    undone = float(np.max(np.abs(reading - force))) > _UNDONE * float(np.max(np.abs(force)))
    entry = notation.entry(measured)
    return ForceTime(
        words=_words(strike, place, entry, undone=undone, share=share),
        axes=force_axes(notation),
        force=_line(time, force),
        reading=_line(time, reading) if undone else None,
        end=duration,
        peak_time=float(strike["peak_time"]) - onset,
        peak=peak,
        peak_words=_at_peak(entry),
        level=float(np.interp(0.0, time, force)) if peak is None else share * peak,
        shaded=_contact(time, force, duration) if strike["impulse"]["value"] is not None else None,
    )


def force_axes(notation: Notation) -> tuple[Axis, Axis]:
    """Return the scales of force in both systems."""
    return axes_of("force", "N", notation)


def axes_of(name: str, unit: str, notation: Notation) -> tuple[Axis, Axis]:
    """Return the scales of a quantity in both systems.

    Parameters
    ----------
    name : str
        What stands beside the scale.
    unit : str
        Coherent SI unit.
    notation : Notation
    """
    first, second = (
        Axis(name, written, 1.0 / per_unit)
        for written, per_unit in zip(notation.units(unit), notation.in_units(1.0, unit), strict=True)
    )
    return first, second


def _line(time: FloatArray, force: FloatArray) -> Curve:
    kept = thinned(force, most=_POINTS, tolerance=_FLAT * float(np.max(np.abs(force))))
    return Curve(time[kept], force[kept])


def _contact(time: FloatArray, force: FloatArray, duration: float) -> tuple[float, float]:
    """Return the stretch whose area is the impulse: the contact with its tails, as far as force lasts."""
    before = np.flatnonzero((time < 0.0) & (force <= 0.0))
    after = np.flatnonzero((time > duration) & (force <= 0.0))
    start = time[before[-1]] if len(before) else time[0]
    stop = time[after[0]] if len(after) else time[-1]
    return float(start), float(stop)


def _at_peak(entry: Entry) -> str:
    if entry.shown:
        return f"peak {entry.shown[0].value} {entry.shown[0].unit}"
    if entry.bound:
        return f"at least {entry.bound[0].value} {entry.bound[0].unit}"
    return "no peak given"


def _words(strike: Mapping[str, Any], place: Link, peak: Entry, *, undone: bool, share: float) -> Words:
    peak_at, end_at = (
        1000.0 * (float(strike[edge]) - float(strike["onset"])) for edge in ("peak_time", "end")
    )
    alternative = (
        f"The force rises from the onset at 0 ms to its peak at {peak_at:.1f} ms and falls to the end of the "
        f"contact at {end_at:.1f} ms. Peak force: {peak}."
    )
    top = "peak" if peak.shown else "highest force seen"
    caption = f"Force on the plate. Dotted: {100.0 * share:g} % of the {top}, which marks onset and end."
    if strike["impulse"]["value"] is not None:
        caption += " Shaded: the impulse."
    if undone:
        alternative += " Beside it, dashed, the cell's own reading before its response was undone."
        caption += " Dashed: the cell's own reading, before its response was undone."
    return Words(
        key=f"curve-{place.anchor}",
        title=f"Force over time, {place.words}",
        alternative=alternative,
        caption=caption,
    )
