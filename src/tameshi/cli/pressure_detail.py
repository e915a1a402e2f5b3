"""Show what is known of a pressure beyond its mean at the peak."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tameshi.cli.shown import both_units, print_table, say

if TYPE_CHECKING:
    from tameshi.force import Curve, Strike
    from tameshi.pressure import Detail, Pulse, Range
    from tameshi.quantity import Quantity, System


def pulse_of(curve: Curve, strike: Strike, *, noise: float, key: str) -> Pulse | None:
    """Return the force over a strike's contact, None where its peak could not be measured."""
    from tameshi.pressure import contact_pulse
    from tameshi.quantity import Quantity

    if not isinstance(strike.peak_force, Quantity):
        return None
    return contact_pulse(
        curve.force,
        start=curve.start,
        rate=curve.rate,
        within=(strike.onset, strike.end),
        peak=strike.peak_force,
        noise=noise,
        key=key,
    )


def show_detail(detail: Detail, system: System) -> None:
    """Print pressure over time, by patch, and what limits it."""
    if detail.course is not None:
        rows = [
            ("stays above half its peak for", *given(detail.course.half_duration, system)),
            ("integral over the contact", *given(detail.course.pressure_impulse, system)),
        ]
        print_table("mean pressure over time", ("figure", "value (95 % interval)", "also"), rows)
        if detail.course.pressure is None:
            say(f"  Bounds only: {_why(detail.course.half_duration)}.")
    split = detail.split
    if split is not None and len(split.patches) > 1:
        patches = [
            (f"patch {one.index}", both_units(one.area, system)[0], *given(one.pressure, system))
            for one in split.patches
        ]
        print_table("by patch", ("patch", "contact area", "mean pressure (95 %)", "also"), patches)
        say(f"  {split.words}")
    if detail.improvements:
        say("  What limits the mean pressure:")
        say(*(f"    {one.words}" for one in detail.improvements))


def given(found: Quantity | Range, system: System) -> tuple[str, str]:
    """Return a quantity, or the bounds in its place, in one system, and in the other."""
    from tameshi.pressure import Range
    from tameshi.quantity import Quantity, show

    if not isinstance(found, Range):
        return both_units(found, system)
    second: System = "us" if system == "si" else "si"

    def ends(units: System) -> str:
        middle = Quantity(0.5 * (found.low + found.high), found.unit)
        shown = show(middle.with_interval(found.low, found.high), units)
        return f"{shown.low} to {shown.high} {shown.unit}"

    one, other = ends(system), ends(second)
    return f"between {one}", other if other != one else ""


def _why(found: Quantity | Range) -> str:
    from tameshi.pressure import Range

    return found.why if isinstance(found, Range) else ""
