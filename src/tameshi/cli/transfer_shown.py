"""Show transfers to a person: bands, what they rest on, and what they do not say."""

from __future__ import annotations

from tameshi.cli.outcome import print_error
from tameshi.cli.shown import both_units, print_flags, print_table, say
from tameshi.cli.transfer_work import OfRecording, Transfers
from tameshi.quantity import System
from tameshi.report.bands import band_in_words, criterion_in_words, figure_in_words, in_gravities
from tameshi.study import cautions_onto
from tameshi.target.transfer import BodyPart, Transfer, cited


def show_transfers(found: Transfers, system: System) -> None:
    """Print transfers for a person."""
    say(f"taken over to: {found.part.name}, free to move. Modelled, not measured.")
    for line in _sources(found.part, system):
        say(f"  {line}")
    for recording in found.recordings:
        _show_recording(recording, found.part, system)
    for one in cautions_onto((found.part.name,)):
        say(f"  {one.lead} {one.words}")


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


_IN_GRAVITIES = ("acceleration of the part", "mean acceleration of the part")


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
        "mean acceleration of the part": arrival.mean_acceleration if arrival else None,
        "speed of the part afterwards": arrival.speed if arrival else None,
    }
    rows = [
        (
            name,
            both_units(measured[name], system)[0] if name in measured else "-",
            in_gravities(band) if band and name in _IN_GRAVITIES else band_in_words(band, system),
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
        ("acceleration, whatever struck", "-", in_gravities(limits.acceleration)),
    ]
    if found.striker_mass is not None:
        rows += [
            ("effective mass of the striker", "-", band_in_words(found.striker_mass, system)),
            ("speed of the striker", "-", band_in_words(found.striker_speed, system)),
            ("stiffness of the striker", "-", band_in_words(found.striker_stiffness, system)),
        ]
    if found.head is not None:
        rows += [
            ("HIC15, modelled", "-", criterion_in_words(found.head.hic15)),
            ("HIC36, modelled", "-", criterion_in_words(found.head.hic36)),
            ("severity index, modelled", "-", criterion_in_words(found.head.severity)),
            ("3 ms clip unbroken, modelled", "-", in_gravities(found.head.clip_contiguous)),
            ("3 ms clip in all, modelled", "-", in_gravities(found.head.clip_summed)),
        ]
    return rows


def _sources(part: BodyPart, system: System) -> list[str]:
    lines = []
    for model in part.models:
        springs = " to ".join(
            figure_in_words(end, "N/m", system) for end in (model.stiffness.low, model.stiffness.high)
        )
        masses = " to ".join(figure_in_words(end, "kg", system) for end in (model.mass.low, model.mass.high))
        lines.append(f"{model.name}: {springs}, {masses} ({cited(model.source)})")
    return lines
