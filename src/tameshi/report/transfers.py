"""What a report says of strikes carried over to free parts of the body: bands, and what they rest on."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence

from tameshi.quantity import Quantity, System
from tameshi.report.bands import NOT_KNOWN, band_in_words, criterion_in_words, in_gravities
from tameshi.report.carried import Carried
from tameshi.report.curves import force_axes
from tameshi.report.drawing import Point, Words
from tameshi.report.frame import Frame
from tameshi.report.parts import Link
from tameshi.report.parts_modelled import BandRow, TransferPart
from tameshi.report.plate_and_part import CarriedRow, PlateAndPart
from tameshi.report.remarks import remarks
from tameshi.study import Taken
from tameshi.target.transfer import Band, Transfer, assumptions

Told = Callable[[Transfer, System], str]

_CAPTION = (
    "Points: peak force on the plate, measured, with its 95 % interval. Thick bars: 95 % bands of a model "
    "for the same strike on the part, free to move, with their medians. Dashed: what the model allows "
    "whatever struck. Nobody was struck, and no band is a limit to aim for."
)


def transfer_parts(carried: Sequence[Carried], frame: Frame) -> tuple[TransferPart, ...]:
    """Return what is said of strikes carried over, a part for each part of the body.

    Parameters
    ----------
    carried : sequence of Carried
    frame : Frame
    """
    onto = dict.fromkeys(one.question.part for one in carried)
    return tuple(
        _part(f"onto-{number}", part, [one for one in carried if one.question.part == part], frame)
        for number, part in enumerate(onto, start=1)
    )


def _part(anchor: str, name: str, carried: Sequence[Carried], frame: Frame) -> TransferPart:
    shown = list(_strikes(carried, frame))
    found = [one.found for _, _, one in shown if one.found is not None]
    place = Link(anchor, f"Onto the {name}")
    noted = [
        flag.as_dict() for one in found for flag in one.flags if (flag.code, flag.message) not in frame.raised
    ]
    return TransferPart(
        place=place,
        columns=tuple((label, link) for label, link, one in shown if one.found is not None),
        rows=tuple(_rows(found, frame)),
        drawing=_drawing(anchor, name, shown, frame),
        assumptions=tuple(dict.fromkeys(sentence for one in found for sentence in assumptions(one))),
        refused=tuple(
            f"{label} ({link.words}): {one.error.message} {one.error.hint}".strip()
            for label, link, one in shown
            if one.error is not None
        ),
        sources=tuple(dict.fromkeys(key for one in found for key in _sources(one))),
        remarks=remarks(noted),
    )


def _strikes(carried: Sequence[Carried], frame: Frame) -> Iterator[tuple[str, Link, Taken]]:
    """Return every strike that was to be carried over, with its label and where it stands."""
    several_pads = len({one.pad for one in carried}) > 1
    for one in carried:
        name = one.technique[:1].upper() + one.technique[1:]
        if several_pads:
            name = f"{name}, pad: {one.pad or 'not known'}"
        alone = one.typical is None or one.greatest is None
        for which, taken, place in (
            ("typical", one.typical, one.places[0]),
            ("greatest", one.greatest, one.places[1]),
        ):
            if taken is not None and place is not None:
                yield (name if alone else f"{name}, {which}"), frame.strike(*place), taken


def _rows(found: Sequence[Transfer], frame: Frame) -> Iterator[BandRow]:
    for name, measured in (
        ("Peak force on the plate", [one.blow.peak_force for one in found]),
        ("Impulse on the plate", [one.blow.impulse for one in found]),
    ):
        yield BandRow(name, tuple(_entry(one, frame) for one in measured), is_measured=True)
    for title, told in _FIGURES:
        cells = [tuple(told(one, system) for system in frame.notation.systems) for one in found]
        if any(cell[0] != NOT_KNOWN for cell in cells):
            yield BandRow(title, tuple((first, "" if other == first else other) for first, other in cells))
    by_model = {one.name for transfer in found for one in transfer.by_model if len(transfer.by_model) > 1}
    for name in sorted(by_model):
        forces = [_force_by(one, name) for one in found]
        pairs = [tuple(band_in_words(band, system) for system in frame.notation.systems) for band in forces]
        yield BandRow(f"Peak force, {name}", tuple((first, other) for first, other in pairs))


def _force_by(found: Transfer, name: str) -> Band | None:
    return next((one.peak_force for one in found.by_model if one.name == name), None)


def _entry(measured: Quantity, frame: Frame) -> tuple[str, str]:
    first, second = frame.notation.entry(measured).shown
    return str(first), "" if first.unit == second.unit else str(second)


def _of_arrival(name: str) -> Told:
    def told(found: Transfer, system: System) -> str:
        return band_in_words(getattr(found.arrival, name) if found.arrival else None, system)

    return told


def _of_head(name: str) -> Told:
    return lambda found, _system: criterion_in_words(getattr(found.head, name) if found.head else None)


def _held(found: Transfer, _system: System) -> str:
    return in_gravities(found.head.clip_contiguous if found.head else None)


def _peak_acceleration(found: Transfer, _system: System) -> str:
    return in_gravities(found.arrival.acceleration if found.arrival else None)


_FIGURES: tuple[tuple[str, Told], ...] = (
    ("Peak force", _of_arrival("peak_force")),
    ("Peak force, whatever struck", lambda found, system: band_in_words(found.limits.force, system)),
    ("Contact duration", _of_arrival("duration")),
    ("Impulse", _of_arrival("impulse")),
    ("Speed of the part afterwards", _of_arrival("speed")),
    ("Acceleration of the part as one mass", _peak_acceleration),
    ("HIC15", _of_head("hic15")),
    ("HIC36", _of_head("hic36")),
    ("Severity index", _of_head("severity")),
    ("Acceleration held for 3 ms", _held),
    ("Effective mass of the striker", lambda found, system: band_in_words(found.striker_mass, system)),
    ("Speed of the striker", lambda found, system: band_in_words(found.striker_speed, system)),
)


def _sources(found: Transfer) -> Iterator[str]:
    for model in found.part.models:
        yield model.source
        yield model.mass_source


def _drawing(
    key: str, part: str, shown: Sequence[tuple[str, Link, Taken]], frame: Frame
) -> PlateAndPart | None:
    rows = tuple(_row(label, one.found) for label, _, one in shown if one.found is not None)
    if not rows:
        return None
    told = "; ".join(
        f"{label}: {band_in_words(_force(one.found), frame.notation.first)}"
        for label, _, one in shown
        if one.found is not None
    )
    words = Words(
        key=f"carried-{key}",
        title=f"Peak force on the plate, and by a model onto the {part}",
        alternative=f"Measured peak forces with their intervals, and modelled bands onto the {part}. {told}.",
        caption=_CAPTION,
    )
    return PlateAndPart(words=words, axes=force_axes(frame.notation), part=part, rows=rows)


def _force(found: Transfer) -> Band:
    return found.limits.force if found.arrival is None else found.arrival.peak_force


def _row(label: str, found: Transfer) -> CarriedRow:
    peak, low = found.blow.peak_force, found.limits.force.low
    return CarriedRow(
        label=label,
        measured=Point(peak.value, peak.low, peak.high),
        band=None if found.arrival is None else _point(found.arrival.peak_force),
        limits=(0.0 if low is None else low, found.limits.force.high),
    )


def _point(band: Band) -> Point | None:
    if band.low is None:
        return None
    if band.high is None or band.median is None:
        return Point(band.low, band.low, band.low, is_bound=True)
    return Point(band.median, band.low, band.high)
