"""Show transfers to a person: bands, what they rest on, and what they do not say."""

from __future__ import annotations

from tameshi.cli.outcome import print_error
from tameshi.cli.shown import both_units, print_flags, print_table, say
from tameshi.cli.transfer_work import OfRecording, Transfers
from tameshi.quantity import Quantity, System, parse_unit, show
from tameshi.reference import source
from tameshi.target.head import NOTE
from tameshi.target.transfer import Band, BodyPart, Transfer, cautions

_FIGURES = 3


def show_transfers(found: Transfers, system: System) -> None:
    """Print transfers for a person."""
    say(f"taken over to: {found.part.name}, free to move. Modelled, not measured.")
    for line in _sources(found.part, system):
        say(f"  {line}")
    for recording in found.recordings:
        _show_recording(recording, found.part, system)
    if found.part.is_head:
        say(f"  {NOTE}")
    for one in cautions():
        say(f"  {one['lead']} {one['text']}")


def band_in_words(band: Band | None, system: System) -> str:
    """Return a band as a person reads it."""
    if band is None or (band.low is None and band.high is None):
        return "not known"
    ends = [None if end is None else _figure(end, band.unit, system) for end in (band.low, band.high)]
    if ends[1] is None:
        return f"at least {ends[0]}"
    if ends[0] is None:
        return f"at most {ends[1]}"
    if band.median is None:
        return f"{ends[0]} to {ends[1]} (limits)"
    return f"{_figure(band.median, band.unit, system)} ({ends[0]} to {ends[1]})"


def _figure(value: float, unit: str, system: System) -> str:
    """Return a modelled value to three figures: more would claim too much."""
    shown = show(Quantity(float(f"{value:.{_FIGURES}g}"), unit), system)
    factor = parse_unit(unit).factor
    number = float(f"{float(shown.value) * factor:.{_FIGURES}g}")
    return f"{number:g} {shown.unit}".strip()


def _show_recording(recording: OfRecording, part: BodyPart, system: System) -> None:
    if recording.error is not None:
        say(f"{recording.file}:")
        print_error(recording.error, as_json=False)
        return
    for taken in recording.strikes:
        title = f"{recording.file}, strike {taken.strike}"
        if taken.found is None:
            if taken.error is not None:
                say(f"{title}: {taken.error.message} {taken.error.hint}")
            continue
        print_table(
            title,
            ("figure", "on the plate, measured", f"on the {part.name}, band"),
            _rows(taken.found, system),
        )
        print_flags(taken.found.flags)
    print_flags(recording.flags)


def _rows(found: Transfer, system: System) -> list[tuple[str, str, str]]:
    blow, arrival, limits = found.blow, found.arrival, found.limits
    measured = {
        "peak force": blow.peak_force,
        "contact duration": blow.duration,
        "impulse": blow.impulse,
    }
    bands = {
        "peak force": arrival.peak_force if arrival else None,
        "contact duration": arrival.duration if arrival else None,
        "impulse": arrival.impulse if arrival else None,
        "acceleration of the part": arrival.acceleration if arrival else None,
        "speed of the part afterwards": arrival.speed if arrival else None,
    }
    rows = [
        (
            name,
            both_units(measured[name], system)[0] if name in measured else "-",
            band_in_words(band, system),
        )
        for name, band in bands.items()
        if band is not None or name in measured
    ]
    rows += [
        (f"peak force, {one.name}", "-", band_in_words(one.peak_force, system))
        for one in found.by_model
        if len(found.by_model) > 1
    ]
    rows += [
        ("peak force, whatever struck", "-", band_in_words(limits.force, system)),
        ("acceleration, whatever struck", "-", band_in_words(limits.acceleration, system)),
    ]
    if found.striker_mass is not None:
        rows += [
            ("effective mass of the striker", "-", band_in_words(found.striker_mass, system)),
            ("speed of the striker", "-", band_in_words(found.striker_speed, system)),
            ("stiffness of the striker", "-", band_in_words(found.striker_stiffness, system)),
        ]
    if found.head is not None:
        rows += [
            ("HIC15, modelled", "-", _criterion(found.head.hic15)),
            ("HIC36, modelled", "-", _criterion(found.head.hic36)),
            ("severity index, modelled", "-", _criterion(found.head.severity)),
            ("3 ms clip unbroken, modelled", "-", _in_g(found.head.clip_contiguous)),
            ("3 ms clip in all, modelled", "-", _in_g(found.head.clip_summed)),
        ]
    return rows


def _criterion(band: Band) -> str:
    """Return a band of a criterion: written without its odd unit, as everywhere in the trade."""
    return band_in_words(Band(unit="1", median=band.median, low=band.low, high=band.high), "si")


def _in_g(band: Band) -> str:
    """Return a band of accelerations in multiples of standard gravity."""
    gravity = parse_unit("g0").factor
    ends = {
        name: None if (end := getattr(band, name)) is None else end / gravity
        for name in ("median", "low", "high")
    }
    words = band_in_words(Band(unit="1", **ends), "si")
    return words if ends["low"] is None and ends["high"] is None else f"{words} g"


def _sources(part: BodyPart, system: System) -> list[str]:
    lines = []
    for model in part.models:
        said = source(model.source)
        springs = " to ".join(
            _figure(end, "N/m", system) for end in (model.stiffness.low, model.stiffness.high)
        )
        masses = " to ".join(_figure(end, "kg", system) for end in (model.mass.low, model.mass.high))
        lines.append(f"{model.name}: {springs}, {masses} ({said['authors']} {said['year']})")
    return lines
