"""Contact area by technique: what repeated prints say, and how the area grows with force.

Prints are put together by technique and athlete: hands and feet differ. For area against force they are also
parted by pad, and only prints count whose own strike has a peak force.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from tameshi.errors import TameshiError
from tameshi.pressure import AreaLaw, Repeats, area_law, repeat_prints
from tameshi.quantity import Quantity
from tameshi.study.chosen import chosen_area
from tameshi.study.describe import Print, Recording
from tameshi.study.join import Joined
from tameshi.study.measure import Measurement


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Pair:
    """A print with the peak force of the strike that left it.

    Parameters
    ----------
    contact_print : Print
    recording : Recording
    strike : int
    force, area : Quantity
        [N], [m2]
    """

    contact_print: Print
    recording: Recording
    strike: int
    force: Quantity
    area: Quantity


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AgainstForce:
    """Contact area against force on one pad.

    Parameters
    ----------
    pad : str or None
    pairs : tuple of Pair
    law : AreaLaw or None
    why, hint : str
        Why there is no law, and what to do; empty where there is one.
    """

    pad: str | None
    pairs: tuple[Pair, ...]
    law: AreaLaw | None
    why: str = ""
    hint: str = ""


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


def contacts_of(
    strikes: Sequence[tuple[Recording, Measurement]],
    areas: Sequence[tuple[Print, Measurement]],
    joined: Sequence[Joined],
) -> tuple[Contact, ...]:
    """Return the contact areas of a study by technique and athlete, in order of appearance.

    Parameters
    ----------
    strikes, areas
        As :func:`tameshi.study.measure_all` returns them.
    joined
        As :func:`tameshi.study.join_study` returns them.

    Returns
    -------
    tuple of Contact
        Prints that name no technique, and have no strike that does, are left out.
    """
    said = {recording.original.sha256: recording.description for recording, _ in strikes}
    pads = {
        recording.original.sha256: outcome.body["recording"]["pad"]
        for recording, outcome in strikes
        if outcome.error is None
    }
    groups: dict[tuple[str, str | None], list[tuple[Print, Quantity]]] = {}
    for contact_print, area in counted_prints(areas):
        of_strike = said.get(contact_print.description.recording or "")
        technique = contact_print.description.technique or (of_strike.technique if of_strike else None)
        athlete = contact_print.description.athlete or (of_strike.athlete if of_strike else None)
        if technique:
            groups.setdefault((technique, athlete), []).append((contact_print, area))
    pairs = {pair.contact_print.original.sha256: pair for pair in map(_pair, joined) if pair is not None}
    return tuple(
        Contact(
            technique=technique,
            athlete=athlete,
            prints=tuple(contact_print for contact_print, _ in found),
            repeats=repeat_prints([area for _, area in found]),
            against_force=_against_force(
                [pairs[one.original.sha256] for one, _ in found if one.original.sha256 in pairs], pads
            ),
        )
        for (technique, athlete), found in groups.items()
    )


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


def _pair(one: Joined) -> Pair | None:
    """Return a strike with its own print; the last one where a strike has several, as joining takes it."""
    if one.pressure is None or not one.pressure.own_print:
        return None
    return Pair(
        contact_print=one.prints[0],
        recording=one.recording,
        strike=int(one.strike["index"]),
        force=one.pressure.force,
        area=one.pressure.area,
    )


def _against_force(pairs: Sequence[Pair], pads: dict[str, str | None]) -> tuple[AgainstForce, ...]:
    by_pad: dict[str | None, list[Pair]] = {}
    for pair in pairs:
        by_pad.setdefault(pads.get(pair.recording.original.sha256), []).append(pair)
    return tuple(_fitted(pad, tuple(found)) for pad, found in (by_pad or {None: []}).items())


def _fitted(pad: str | None, pairs: tuple[Pair, ...]) -> AgainstForce:
    try:
        law = area_law([pair.force for pair in pairs], [pair.area for pair in pairs])
    except TameshiError as error:
        return AgainstForce(pad=pad, pairs=pairs, law=None, why=error.message, hint=error.hint)
    return AgainstForce(pad=pad, pairs=pairs, law=law)
