"""Contact area by technique: what repeated prints say, and how the area grows with force.

Prints are put together by technique and athlete: hands and feet differ. For area against force they are also
parted by pad, and only prints count whose own strike has a peak force.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from tameshi.pressure import AreaLaw, Repeats, repeat_prints
from tameshi.quantity import Quantity, from_record
from tameshi.study.chosen import chosen_area
from tameshi.study.describe import Print, Recording
from tameshi.study.description import RecordingDescription
from tameshi.study.laws import AgainstForce, Pair, by_pad
from tameshi.study.measure import Measurement

_Known = Mapping[str | None, tuple[Recording, Mapping[str, Any]]]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Contact:
    """The prints of one technique of one athlete.

    Parameters
    ----------
    technique : str
    athlete : str or None
    prints : tuple of Print
        Those that were measured.
    repeats : Repeats
    against_force : tuple of AgainstForce
        One for each pad that paired prints were struck on; one without pairs where there are none.
    """

    technique: str
    athlete: str | None
    prints: tuple[Print, ...]
    repeats: Repeats
    against_force: tuple[AgainstForce, ...]

    def law_on(self, pad: str | None) -> AreaLaw | None:
        """Return the law of area against force on a pad, None where there is none."""
        return next((found.law for found in self.against_force if found.pad == pad), None)


def contacts_of(
    strikes: Sequence[tuple[Recording, Measurement]], areas: Sequence[tuple[Print, Measurement]]
) -> tuple[Contact, ...]:
    """Return the contact areas of a study by technique and athlete, in order of appearance.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` returns them.

    Returns
    -------
    tuple of Contact
        Prints that name no technique, and have no strike that does, are left out.
    """
    known: _Known = {recording.original.sha256: (recording, outcome.body) for recording, outcome in strikes}
    groups: dict[tuple[str, str | None], list[tuple[Print, Quantity]]] = {}
    for contact_print, area in counted_prints(areas):
        of_strike = known.get(contact_print.description.recording)
        technique, athlete = whose(contact_print, of_strike[0] if of_strike else None)
        if technique:
            groups.setdefault((technique, athlete), []).append((contact_print, area))
    pads = pads_of(strikes)
    return tuple(
        Contact(
            technique=technique,
            athlete=athlete,
            prints=tuple(contact_print for contact_print, _ in found),
            repeats=repeat_prints([area for _, area in found]),
            against_force=by_pad([pair for one in found if (pair := _pair(*one, known))], pads),
        )
        for (technique, athlete), found in groups.items()
    )


def whose(contact_print: Print, of_strike: Recording | None) -> tuple[str | None, str | None]:
    """Return technique and athlete of a print; what it does not say its recording says."""
    said = contact_print.description
    other = of_strike.description if of_strike else RecordingDescription()
    return said.technique or other.technique, said.athlete or other.athlete


def pads_of(strikes: Sequence[tuple[Recording, Measurement]]) -> dict[str, str | None]:
    """Return what each recording that was measured was struck on, by its SHA-256."""
    return {
        recording.original.sha256: outcome.body["recording"]["pad"]
        for recording, outcome in strikes
        if outcome.error is None
    }


def counted_prints(areas: Sequence[tuple[Print, Measurement]]) -> list[tuple[Print, Quantity]]:
    """Return the prints that count, with their areas.

    Parameters
    ----------
    areas : sequence of (Print, Measurement)
        As :func:`tameshi.study.measure_all` returns them.

    Returns
    -------
    list of (Print, Quantity)
        Those that were measured; of several pictures of one strike's print the last.
    """
    found: dict[tuple[str, int | None], tuple[Print, Quantity]] = {}
    for contact_print, outcome in areas:
        area = None if outcome.error else chosen_area(contact_print, outcome.body)
        said = contact_print.description
        known = said.recording is not None and said.strike is not None
        key = (said.recording or "", said.strike) if known else (contact_print.original.sha256, None)
        if isinstance(area, Quantity):
            found[key] = (contact_print, area)
    return list(found.values())


def _pair(contact_print: Print, area: Quantity, known: _Known) -> Pair | None:
    """Return a print with the peak force of its own strike, None where that is not known."""
    said = contact_print.description
    if said.recording is None or said.recording not in known or area.low <= 0.0:
        return None
    recording, body = known[said.recording]
    for strike in body.get("strikes", ()):
        force = from_record(strike["peak_force"])
        if strike["index"] == said.strike and isinstance(force, Quantity):
            return Pair(
                contact_print=contact_print,
                recording=recording,
                strike=int(strike["index"]),
                force=force,
                area=area,
            )
    return None
