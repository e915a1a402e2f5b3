"""What is typical of each technique, for the summary of a report and its drawings side by side.

Strikes are put together by technique and by what they were struck on: results through different
pads are not pooled. Athletes are, and how many there were is said.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, field

import numpy as np

from tameshi.quantity import Measured, Missing, Quantity, from_record, parse_unit
from tameshi.report.content import TechniquePart
from tameshi.report.curves import axes_of
from tameshi.report.drawing import Point, Series, SideBySide, Words, farthest
from tameshi.report.notation import Entry, Notation, two_figures
from tameshi.report.summary import counted
from tameshi.report.typical import typical, typical_contact, typical_pressure
from tameshi.study import Joined, Measurement, Print, Recording, counted_prints

UNNAMED = "technique not named"
_PAIR = 2


@dataclass(slots=True)
class Group:
    """The strikes and prints of one technique on one pad, as they are collected.

    Parameters
    ----------
    technique : str
        As people named it; :data:`UNNAMED` where they did not.
    pad : str or None
    athletes : list of str
        Codes, in order of appearance.
    forces, pressures, durations : list of Quantity or Missing
        One for each strike.
    areas : list of Quantity
        One for each print.
    struck : list of (str, int)
        SHA-256 of the recording, and index in it, of each strike.
    """

    technique: str
    pad: str | None
    athletes: list[str] = field(default_factory=list)
    forces: list[Measured] = field(default_factory=list)
    pressures: list[Measured] = field(default_factory=list)
    durations: list[Measured] = field(default_factory=list)
    areas: list[Quantity] = field(default_factory=list)
    struck: list[tuple[str, int]] = field(default_factory=list)

    @property
    def greatest(self) -> int:
        """Place of its strike with the highest peak; of one that was cut off, what was seen of it counts."""
        return max(range(len(self.forces)), key=lambda place: seen_of(self.forces[place]))

    def name(self, *, with_pad: bool) -> str:
        """Return the name it is shown under."""
        name = self.technique[:1].upper() + self.technique[1:]
        return f"{name}, pad: {self.pad or 'not known'}" if with_pad and self.forces else name


def seen_of(force: Measured) -> float:
    """Return how high a force was seen to go. [coherent SI]"""
    return (force.at_least or 0.0) if isinstance(force, Missing) else force.value


def groups_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    areas: Sequence[tuple[Print, Measurement]],
    joined: Sequence[Joined],
) -> tuple[Group, ...]:
    """Return the strikes and prints by technique and pad, in order of appearance.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` gives them.
    joined
        As :func:`tameshi.study.join_study` gives them.
    """
    pads = {
        recording.original.sha256: outcome.body["recording"]["pad"]
        for recording, outcome in strikes
        if outcome.error is None
    }
    groups: dict[tuple[str, str | None], Group] = {}
    for one in joined:
        said = one.recording.description
        technique, pad = said.technique or UNNAMED, pads[one.recording.original.sha256]
        group = groups.setdefault((technique, pad), Group(technique, pad))
        if said.athlete and said.athlete not in group.athletes:
            group.athletes.append(said.athlete)
        group.struck.append((one.recording.original.sha256, int(one.strike["index"])))
        group.forces.append(from_record(one.strike["peak_force"]))
        group.durations.append(from_record(one.strike["contact_duration"]))
        pressure = one.pressure.mean_pressure if one.pressure else Missing("Pa", one.why)
        group.pressures.append(pressure)
    techniques = {recording.original.sha256: recording.description.technique for recording, _ in strikes}
    for contact_print, area in counted_prints(areas):
        _add_print(groups, contact_print, area, techniques.get(contact_print.description.recording or ""))
    return tuple(groups.values())


def technique_part(group: Group, notation: Notation, *, with_pad: bool) -> TechniquePart:
    """Return what is typical of a technique.

    Parameters
    ----------
    group : Group
    notation : Notation
    with_pad : bool
        Whether its name has to tell the pad.
    """
    forces = [one for one in group.forces if isinstance(one, Quantity)]
    force = typical(forces, "scatter of strikes")
    area = typical_contact(group.areas)
    pressure = typical_pressure(force, area)
    return TechniquePart(
        name=group.name(with_pad=with_pad),
        athletes=tuple(group.athletes),
        strikes=len(group.forces),
        with_peak=len(forces),
        prints=len(group.areas),
        peak_force=_entry(force, notation),
        contact_area=_entry(area, notation),
        mean_pressure=_entry(pressure, notation),
        least=_entry(min(forces, key=_value, default=None), notation),
        greatest=_entry(max(forces, key=_value, default=None), notation),
        story=story(group, force, area, pressure, notation),
    )


def side_by_side(
    groups: Sequence[Group], parts: Sequence[TechniquePart], notation: Notation
) -> tuple[SideBySide, ...]:
    """Return peak force and mean pressure of every strike as drawings, technique under technique."""
    ways = (
        ("peak force", "N", [group.forces for group in groups], [part.peak_force for part in parts]),
        (
            "mean pressure",
            "Pa",
            [group.pressures for group in groups],
            [part.mean_pressure for part in parts],
        ),
    )
    drawn = (_drawing(name, unit, parts, values, means, notation) for name, unit, values, means in ways)
    return tuple(one for one in drawn if one is not None)


def story(
    group: Group,
    force: Quantity | None,
    area: Quantity | None,
    pressure: Quantity | None,
    notation: Notation,
) -> str:
    """Return what is typical of a technique, in sentences for a lay reader."""
    told = []
    if force is None:
        told.append("No peak force could be measured.")
    else:
        told.append(
            f"{_whose(group)} peaked at {notation.entry(force)}, {_weight(force, notation)}{_lasting(group)}."
        )
        told += _left_out(group)
    if area is not None:
        told.append(f"Its contact covers {notation.entry(area)}, {_backing(group)}.")
    elif group.forces:
        told.append("There is no print of it, so no area and no pressure can be given.")
    if pressure is not None:
        told.append(f"Force over area makes a mean pressure of {notation.entry(pressure)}.")
    return " ".join(told)


def _whose(group: Group) -> str:
    if len(group.forces) == 1:
        return "Its one strike"
    return "A typical strike" if _with_peak(group) > 1 else "The only strike with a known peak"


def _left_out(group: Group) -> list[str]:
    """Return what a mean leaves out: strikes without a peak, the strongest among them perhaps."""
    missing = [one for one in group.forces if isinstance(one, Missing)]
    if not missing:
        return []
    left = "is left out" if len(missing) == 1 else "are left out"
    told = f"{counted(len(missing), 'strike').capitalize()} without a known peak {left}"
    if any(one.at_least is not None for one in missing):
        told += "; a top that was cut off was higher than what was seen of it"
        told += ", so the mean may read low" if _with_peak(group) > 1 else ""
    return [f"{told}."]


def _with_peak(group: Group) -> int:
    return sum(isinstance(one, Quantity) for one in group.forces)


def _backing(group: Group) -> str:
    if len(group.areas) == 1:
        return "from one print only, so that its scatter had to be assumed"
    return f"from {len(group.areas)} prints"


def _weight(force: Quantity, notation: Notation) -> str:
    kilograms, pounds = (f"{two_figures(force.value / parse_unit(unit).factor)}" for unit in ("kgf", "lbf"))
    weights = {
        "si": f"{kilograms}\u00a0kg ({pounds}\u00a0lb)",
        "us": f"{pounds}\u00a0lb ({kilograms}\u00a0kg)",
    }
    return f"about what a weight of {weights[notation.first]} presses with at rest"


def _lasting(group: Group) -> str:
    known = [one.value for one in group.durations if isinstance(one, Quantity)]
    return (
        f", but within a contact of only {two_figures(1000.0 * float(np.median(known)))}\u00a0ms"
        if known
        else ""
    )


def _add_print(
    groups: dict[tuple[str, str | None], Group],
    contact_print: Print,
    area: Quantity,
    technique_of_strike: str | None,
) -> None:
    """Put a measured print to every group of its technique; a print says nothing of a pad."""
    technique = contact_print.description.technique or technique_of_strike or UNNAMED
    fitting = [group for group in groups.values() if group.technique == technique]
    for group in fitting or [groups.setdefault((technique, None), Group(technique, None))]:
        group.areas.append(area)


def _drawing(
    name: str,
    unit: str,
    parts: Sequence[TechniquePart],
    values: Sequence[Sequence[Measured]],
    means: Sequence[Entry | None],
    notation: Notation,
) -> SideBySide | None:
    series = [
        Series(part.name, tuple(filter(None, map(_point, found))), _mean_point(mean, part.with_peak))
        for part, found, mean in zip(parts, values, means, strict=True)
    ]
    shown = tuple(one for one in series if one.points)
    if not shown:
        return None
    told = "; ".join(f"{part.name}: {mean}" for part, mean in zip(parts, means, strict=True) if mean)
    words = Words(
        key=f"side-by-side-{name.replace(' ', '-')}",
        title=f"{name.capitalize()} of every strike, by technique",
        alternative=f"Each strike is a point with its 95 % interval. Means: {told or 'none'}.",
        caption=_caption(shown),
    )
    return SideBySide(words=words, axes=axes_of(name, unit, notation), series=shown)


def _caption(shown: Sequence[Series]) -> str:
    caption = "Every strike is a point with its 95 % interval, in order of time."
    if any(one.typical for one in shown):
        caption += " Upright line and tint: the mean of the technique and its 95 % interval."
    end = farthest(tuple(shown))
    if any(point.high > end for one in shown for point in one.points):
        caption += " An arrow: the interval goes on beyond the scale."
    if any(point.is_bound for one in shown for point in one.points):
        caption += " An open triangle is a lower bound: the top of that strike was cut off."
    return caption


def _point(measured: Measured) -> Point | None:
    if isinstance(measured, Quantity):
        return Point(measured.value, measured.low, measured.high)
    if measured.at_least is None:
        return None
    return Point(measured.at_least, measured.at_least, measured.at_least, is_bound=True)


def _mean_point(mean: Entry | None, count: int) -> Point | None:
    """Return the mean to draw; that of a single strike is the strike itself."""
    if mean is None or count < _PAIR:
        return None
    return _point(mean.measured)


def _entry(quantity: Quantity | None, notation: Notation) -> Entry | None:
    return None if quantity is None else notation.entry(quantity)


def _value(quantity: Quantity) -> float:
    return quantity.value
