"""Area against force by technique, athlete and pad, from the strikes that left a print of their own."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from tameshi.errors import TameshiError
from tameshi.pressure import AreaLaw, area_law
from tameshi.quantity import Quantity
from tameshi.study.describe import Print, Recording

Pads = Mapping[str, str | None]
"""What each recording was struck on, by its SHA-256."""


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


def by_pad(pairs: Sequence[Pair], pads: Pads) -> tuple[AgainstForce, ...]:
    """Return area against force on each pad that these pairs were struck on; one without pairs of none.

    Parameters
    ----------
    pairs : sequence of Pair
        Of one technique of one athlete.
    pads : mapping of str to str or None
    """
    found: dict[str | None, list[Pair]] = {}
    for pair in pairs:
        found.setdefault(pads.get(pair.recording.original.sha256), []).append(pair)
    return tuple(_fitted(pad, tuple(those)) for pad, those in (found or {None: []}).items())


def _fitted(pad: str | None, pairs: tuple[Pair, ...]) -> AgainstForce:
    try:
        law = area_law([pair.force for pair in pairs], [pair.area for pair in pairs])
    except TameshiError as error:
        return AgainstForce(pad=pad, pairs=pairs, law=None, why=error.message, hint=error.hint)
    return AgainstForce(pad=pad, pairs=pairs, law=law)
