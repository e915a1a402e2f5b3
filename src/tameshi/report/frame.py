"""What all parts of a report share: its units, and one anchor and one name for each thing in it."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from itertools import chain

from tameshi.force import FIGURES
from tameshi.quantity import System, from_record
from tameshi.report.notation import Notation, notation_for
from tameshi.report.parts import Link
from tameshi.study import Joined, Measurement, Original, Print, Recording

STRIKE_FIGURES: Mapping[str, str] = {key: key.replace("_", " ").capitalize() for key in FIGURES}
"""Measured quantities of a strike by their key in stored results, in the order they are shown."""

PRINT_AREAS: Mapping[str, str] = {"contact_area": "Contact area", "inked_area": "Inked area"}
"""Areas of a print by their key in stored results, in the order they are shown."""


@dataclass(frozen=True, slots=True)
class Frame:
    """What all parts of a report share.

    Parameters
    ----------
    notation : Notation
    recordings, prints : mapping of str to Link
        Where each stands, by its SHA-256.
    rigs : mapping of str to str
        Names of the rig files, by SHA-256; they have no place of their own.
    raised : frozenset of (str, str)
        Code and message of every flag that a strike or a print carries itself.
    """

    notation: Notation
    recordings: Mapping[str, Link]
    prints: Mapping[str, Link]
    rigs: Mapping[str, str]
    raised: frozenset[tuple[str, str]]

    def strike(self, recording: str, index: int) -> Link:
        """Return where a strike of a recording stands."""
        place = self.recordings[recording]
        return Link(f"{place.anchor}-strike-{index}", f"strike {index} of {place.words}")


def frame_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    areas: Sequence[tuple[Print, Measurement]],
    joined: Sequence[Joined],
    *,
    first: System,
    rigs: Sequence[Original],
) -> Frame:
    """Return the frame of a report on these measurements.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` gives them.
    joined
        As :func:`tameshi.study.join_study` gives them.
    first : "si" or "us"
        Which units come first.
    rigs : sequence of Original
    """
    bodies = [outcome.body for _, outcome in (*strikes, *areas)]
    found = [strike for body in bodies for strike in body.get("strikes", ())]
    records = [strike[key] for strike in found for key in STRIKE_FIGURES]
    records += [body[key] for body in bodies if "patches" in body for key in PRINT_AREAS]
    pressures = [one.pressure.mean_pressure for one in joined if one.pressure is not None]
    flags = chain.from_iterable(owner.get("flags", ()) for owner in (*bodies, *found))
    return Frame(
        notation=notation_for(first, (*map(from_record, records), *pressures)),
        recordings=_places("recording", [recording.original for recording, _ in strikes]),
        prints=_places("print", [contact_print.original for contact_print, _ in areas]),
        rigs={rig.sha256: rig.name for rig in rigs},
        raised=frozenset((flag["code"], flag["message"]) for flag in flags),
    )


def _places(word: str, shown: Sequence[Original]) -> dict[str, Link]:
    return {one.sha256: Link(f"{word}-{number}", one.name) for number, one in enumerate(shown, start=1)}
