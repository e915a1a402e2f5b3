"""A transfer as figures to set beside published tolerance: like with like, and marked as modelled.

The one place where the packages ``target`` and ``tolerance`` meet.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tameshi.reference import row
from tameshi.target.head import NOTE
from tameshi.target.transfer import (
    DOUBTS,
    OUTSIDE,
    SHARES,
    Band,
    Transfer,
    assumptions,
    body_part,
    cautions,
    model_name,
)
from tameshi.tolerance import Drawn, Kind, Modelled, Warned, cautions_for, kind_facts

_MIDDLE = (0.5,)
_HEAD = "motion of the head"


def modelled_of(found: Transfer) -> tuple[Modelled, ...]:
    """Return what a transfer offers to rows of published tolerance that need a model.

    Parameters
    ----------
    found : Transfer

    Returns
    -------
    tuple of Modelled
        Contact force on the part; of a head also its accelerations and what is made from them. Where only
        two limits are known, force, peak acceleration and injury criteria between them.
    """
    about = (assumptions(found), model_name(found.part.name))
    bands = _bands(found)
    duration = None if found.arrival is None else _known(found.arrival.duration, "s")
    offered = (_one(kind, least, most, about, found, duration) for kind, least, most in bands)
    return tuple(one for one in offered if one is not None)


def cautions_onto(parts: Iterable[str]) -> tuple[Warned, ...]:
    """Return the cautions that stand wherever strikes are carried over to these parts of the body.

    Those of the model, those that published tolerance of these regions comes with (the heart, the throat,
    the brain), and of a head what was not measured.
    """
    models = tuple(Warned(one["code"], one["lead"], one["text"]) for one in cautions())
    regions = {
        region
        for part in parts
        for key in ((part, _HEAD) if body_part(part).is_head else (part,))
        for region in row("transfer_regions", key)["regions"]
    }
    anywhere = {one.key for one in cautions_for(())}
    own = tuple(one for one in cautions_for(regions) if one.key not in anywhere)
    head = (Warned("head-modelled", "No head was measured.", NOTE),) if "brain" in regions else ()
    return (*models, *own, *head)


def _bands(found: Transfer) -> Iterator[tuple[Kind, Band | None, Band | None]]:
    """Return the bands of each kind: the same twice where it is one band and not two bounds."""
    arrival, limits, head = found.arrival, found.limits, found.head
    force = limits.force if arrival is None else arrival.peak_force
    yield Kind.CONTACT_FORCE, force, force
    if not found.part.is_head:
        return
    peak = limits.acceleration if arrival is None else arrival.acceleration
    yield Kind.HEAD_PEAK_ACCELERATION, peak, peak
    if arrival is not None:
        yield Kind.HEAD_MEAN_ACCELERATION, arrival.mean_acceleration, arrival.mean_acceleration
    short, long = (limits.hic15, limits.hic36) if head is None else (head.hic15, head.hic36)
    yield Kind.HEAD_INJURY_CRITERION_15, short, short
    yield Kind.HEAD_INJURY_CRITERION_36, long, long
    yield Kind.HEAD_INJURY_CRITERION, short, long
    if head is not None:
        yield Kind.HEAD_SEVERITY_INDEX, head.severity, head.severity
        yield Kind.HEAD_HELD_ACCELERATION, head.clip_contiguous, head.clip_contiguous


def _one(
    kind: Kind,
    least: Band | None,
    most: Band | None,
    about: tuple[tuple[str, ...], str],
    found: Transfer,
    duration: Drawn | None,
) -> Modelled | None:
    unit = kind_facts(kind).si
    low = None if least is None else _known(least, unit, end="low")
    if low is None or least is None or most is None:
        return None
    high: Drawn | None = low
    if most is not least or not least.quantiles:
        high = _known(most, unit, end="high")
    elif least.high is None:
        high = None
    regions = row("transfer_regions", _HEAD if kind.startswith("head ") else found.part.name)["regions"]
    return Modelled(
        kind=kind,
        least=low,
        most=high,
        model=about[1],
        assumptions=about[0],
        regions=tuple(regions),
        duration=duration,
        doubts=tuple(flag.message for flag in found.flags if flag.code in DOUBTS),
        refused=" ".join(flag.message for flag in found.flags if flag.code in OUTSIDE),
    )


def _known(band: Band, unit: str, *, end: str = "low") -> Drawn | None:
    """Return a band as draws; of limits the end that is asked for, None where that is not known."""
    if band.quantiles:
        # an upper bound alone gives no draws of the figure itself
        return None if getattr(band, end) is None else Drawn(unit, SHARES, band.quantiles)
    limit = getattr(band, end)
    return None if limit is None else Drawn(unit, _MIDDLE, (float(limit),))
