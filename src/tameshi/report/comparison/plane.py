"""From strikes with prints of their own to the plane of force and area."""

from __future__ import annotations

import math
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from tameshi.comparison import Together, Trial, together
from tameshi.errors import UnmeasurableError
from tameshi.quantity import Quantity, System, parse_unit, show
from tameshi.reference import row
from tameshi.report.comparison.drawings import Cloud, ForceArea, Level
from tameshi.report.comparison.spreads import point_of
from tameshi.report.curves import axes_of
from tameshi.report.drawing import Cross, Point, Words
from tameshi.report.notation import Notation

Pairs = Mapping[str, tuple[Sequence[Trial], Sequence[Trial]]]
_STEPS = (1.0, 2.0, 5.0)
_MOST_LINES = 6
_ROOM = 1.25  # beyond the points on either side, as the drawing has
_PERCENT = 0.01
_LEAST = 1e-3  # of a value: a logarithmic scale has no place for nought


def force_area(
    pairs: Pairs, notation: Notation, *, without: int, key: str = "force-area-plane"
) -> ForceArea | None:
    """Return the drawing of peak force against contact area; None where no strike has both.

    Parameters
    ----------
    pairs : mapping of str to (sequence of Trial, sequence of Trial)
        By group: areas and peak forces of strikes that left a print of their own, in one order.
    notation : Notation
    without : int
        Strikes that have no print of their own and are not drawn.
    key : str
    """
    known = {name: pair for name, pair in pairs.items() if pair[0]}
    if not known:
        return None
    found = {name: _together(*pair) for name, pair in known.items()}
    clouds = tuple(
        cloud_of(name, known[name], found[name], place) for place, name in enumerate(pairs) if name in known
    )
    words = Words(
        key=key,
        title="Peak force against contact area",
        alternative=_alternative(known, found, notation),
        caption=_caption(clouds, found, without),
    )
    return ForceArea(
        words=words,
        across=axes_of("contact area", "m2", notation),
        up=axes_of("peak force", "N", notation),
        clouds=clouds,
        pressures=_pressures(clouds, notation),
    )


def cloud_of(
    name: str, pair: tuple[Sequence[Trial], Sequence[Trial]], found: Together | None, place: int
) -> Cloud:
    """Return strikes in a plane of two figures, with the ellipse of their scatter where it is known."""
    points = tuple(
        Cross(_positive(one.value), _positive(other.value)) for one, other in zip(*pair, strict=True)
    )
    if found is None or found.is_hidden:
        return Cloud(label=name, points=points, place=place)
    few = int(row("comparison_limits", "few for ellipse")["limit"])
    share = float(row("comparison_limits", "ellipse")["limit"])
    return Cloud(
        label=name,
        points=points,
        place=place,
        outline=found.outline(share),
        is_shaky=found.count < few,
    )


def levels(
    low: float, high: float, unit: str, system: System, *, most: int = _MOST_LINES
) -> tuple[Level, ...]:
    """Return round values of a quantity between two ends, few enough to be told apart, as lines.

    Parameters
    ----------
    low, high : float
        In coherent SI.
    unit : str
        Coherent SI unit.
    system : "si" or "us"
        In which the values are round.
    most : int
    """
    from tameshi.quantity import display_unit  # noqa: PLC0415

    symbol = display_unit(Quantity(math.sqrt(low * high), unit), system)
    factor = parse_unit(symbol).factor
    decades = range(math.floor(math.log10(low / factor)), math.ceil(math.log10(high / factor)) + 1)
    for steps in (_STEPS, _STEPS[::2], _STEPS[:1]):
        rounded = [step * 10.0**decade * factor for decade in decades for step in steps]
        inside = [value for value in rounded if low <= value <= high]
        if len(inside) <= most:
            break
    return tuple(Level(value=value, label=_both(value, unit, system)) for value in inside)


def ends_of(clouds: Sequence[Cloud], of: Callable[[float, float], float]) -> tuple[float, float]:
    """Return the least and the greatest of a quantity of two figures in the part of a plane that is drawn."""
    across = [
        end for cloud in clouds for point in cloud.points for end in (point.across.low, point.across.high)
    ]
    up = [end for cloud in clouds for point in cloud.points for end in (point.up.low, point.up.high)]
    corners = [
        of(x, y)
        for x in (min(across) / _ROOM, max(across) * _ROOM)
        for y in (min(up) / _ROOM, max(up) * _ROOM)
    ]
    return min(corners), max(corners)


def _pressures(clouds: Sequence[Cloud], notation: Notation) -> tuple[Level, ...]:
    low, high = ends_of(clouds, lambda area, force: force / area)
    return levels(low, high, "Pa", notation.first)


def _both(value: float, unit: str, system: System) -> str:
    other: System = "us" if system == "si" else "si"
    first, second = (show(Quantity(value, unit), each) for each in (system, other))
    short = f"{float(first.value):g} {first.unit}"
    return (
        short
        if first.unit == second.unit
        else f"{short}, {float(f'{float(second.value):.3g}'):g} {second.unit}"
    )


def _positive(quantity: Quantity) -> Point:
    point = point_of(quantity)
    return Point(point.value, max(point.low, _LEAST * point.value), point.high)


def paired(areas: Mapping[str, Sequence[Trial]], forces: Mapping[str, Sequence[Trial]]) -> Pairs:
    """Return areas and peak forces of the same strikes in one order, by group in the order of the forces.

    Parameters
    ----------
    areas, forces : mapping of str to sequence of Trial
        Areas only of strikes with prints of their own.
    """
    found = {}
    for name, struck in forces.items():
        known = {trial.label: trial for trial in struck}
        own = [area for area in areas.get(name, ()) if area.label in known]
        found[name] = (own, [known[area.label] for area in own])
    return found


def _together(areas: Sequence[Trial], forces: Sequence[Trial]) -> Together | None:
    try:
        return together(areas, forces)
    except UnmeasurableError:
        return None


def _alternative(pairs: Pairs, found: Mapping[str, Together | None], notation: Notation) -> str:
    told = []
    for name, (areas, forces) in pairs.items():
        middle = [float(np.mean([one.value.value for one in side])) for side in (areas, forces)]
        area, force = (
            str(notation.entry(Quantity(value, unit)))
            for value, unit in zip(middle, ("m2", "N"), strict=True)
        )
        known = found[name]
        together_ = "" if known is None else f", correlation {known.correlation:.2f}"
        told.append(f"{name}: {len(areas)} strikes about {area} and {force}{together_}")
    return f"Points on logarithmic scales. {'; '.join(told)}."


def _caption(clouds: Sequence[Cloud], found: Mapping[str, Together | None], without: int) -> str:
    told = ["Each strike with its own print is a point; its cross is the 95 % interval of its measurement."]
    if any(cloud.outline for cloud in clouds):
        told.append(
            "Ellipse: the scatter from strike to strike, with what the measurement explains taken out; it "
            "would hold about two strikes in three."
        )
    if any(cloud.outline is None for cloud in clouds):
        told.append("Without an ellipse: too few strikes, or no more scatter than the measurement explains.")
    if any(cloud.is_shaky for cloud in clouds):
        told.append("Broken ellipse: from so few strikes that its shape is hardly known.")
    shares = [share for one in found.values() if one is not None for share in one.measured_share]
    if shares:
        most = max(shares)
        told.append(
            "Single measurements explain "
            f"{f'at most {100.0 * most:.0f} %' if most >= _PERCENT else 'less than 1 %'} of the "
            "scatter; what all strikes share (calibration, scale) would move them together and is in the "
            "crosses only."
        )
    told.append("Slanting lines: equal mean pressure.")
    if without:
        told.append(f"Not drawn: {without} strikes without a print of their own.")
    return " ".join(told)
