"""Set a strike beside published values: what is comparable, from which side, where it lies, and why not.

Kind of quantity decides first, the conditions of the study second, the numbers last.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from enum import StrEnum

from tameshi.tolerance.case import Case
from tameshi.tolerance.kind import Kind, kind_facts
from tameshi.tolerance.matching import conditions, padding, unlike_mean
from tameshi.tolerance.modelled import Modelled
from tameshi.tolerance.placing import Placing, place
from tameshi.tolerance.published import Published, Way
from tameshi.tolerance.reading import Reading
from tameshi.tolerance.spread import Spread, spread_of


class Comparability(StrEnum):
    """What may be said of a strike and a published value."""

    COMPARABLE = "comparable"
    ONE_SIDE = "comparable from one side"
    MODEL = "only with a model"
    NEVER = "not comparable"


@dataclass(frozen=True, slots=True, kw_only=True)
class Comparison:
    """A strike beside one published value.

    Parameters
    ----------
    published : Published
    comparability : Comparability
    reason : str
        Why it is so.
    spread : Spread
        What the published value covers. [coherent SI]
    reading : Reading or None
        What of the strike was set beside it; None where nothing may be, or where it is missing.
    placing : Placing or None
    conditions : tuple of str
        How area and duration match, a sentence each; empty where nothing was compared.
    """

    published: Published
    comparability: Comparability
    reason: str
    spread: Spread
    reading: Reading | None = None
    placing: Placing | None = None
    conditions: tuple[str, ...] = ()

    @property
    def is_modelled(self) -> bool:
        """Whether what was set beside it comes from a model."""
        return self.reading is not None and bool(self.reading.model)


def compare(case: Case, rows: Iterable[Published]) -> tuple[Comparison, ...]:
    """Set a strike beside published values.

    Parameters
    ----------
    case : Case
    rows : iterable of Published

    Returns
    -------
    tuple of Comparison
        One for each row, and for each model that reaches it; those that are comparable first.
    """
    order = list(Comparability)
    found = [one for published in rows for one in _compared(case, published)]
    return tuple(sorted(found, key=lambda one: order.index(one.comparability)))


def comparability_of(case: Case, published: Published) -> tuple[Comparability, str]:
    """Return whether a strike may be set beside a published value, and why.

    Parameters
    ----------
    case : Case
    published : Published
    """
    facts = kind_facts(published.kind)
    if facts.reach == "never":
        return Comparability.NEVER, facts.why
    if published.way is Way.NEVER:
        return Comparability.NEVER, _unfit(published)
    if published.way is Way.MODEL or facts.reach == "model":
        return Comparability.MODEL, _needs(published, facts.why)
    own = set(published.surfaces) & set(case.surfaces)
    if own:
        return Comparability.COMPARABLE, _of_the_striker(case, published, own)
    if published.way is Way.OWN_LIMB:
        return _of_own_limb(case, published)
    return Comparability.ONE_SIDE, _from_one_side(case, published)


def _compared(case: Case, published: Published) -> list[Comparison]:
    comparability, reason = comparability_of(case, published)
    alone = Comparison(
        published=published, comparability=comparability, reason=reason, spread=spread_of(published)
    )
    match comparability:
        case Comparability.NEVER:
            return [alone]
        case Comparability.MODEL:
            reached = [_by_model(case, alone, one) for one in case.modelled if _reaches(one, published)]
            return reached or [alone]
    reading = case.readings.get(published.kind)
    return [alone if reading is None else _beside(alone, reading, conditions(case, published))]


def _reaches(modelled: Modelled, published: Published) -> bool:
    """Return whether a model worked out what a row is about: its kind, for its region."""
    return modelled.kind is published.kind and (not modelled.regions or published.region in modelled.regions)


def _by_model(case: Case, alone: Comparison, modelled: Modelled) -> Comparison:
    unlike = modelled.refused or unlike_mean(published=alone.published, modelled=modelled)
    if unlike:
        return replace(alone, reason=unlike)
    told = replace(alone, reason=f"Modelled, not measured: {modelled.model}.")
    return _beside(told, modelled.reading, conditions(case, alone.published, modelled))


def _beside(alone: Comparison, reading: Reading, matched: tuple[str, ...]) -> Comparison:
    placing = place(reading, alone.published.kind, alone.spread)
    return replace(alone, reading=reading, placing=placing, conditions=matched)


def _of_the_striker(case: Case, published: Published, own: Iterable[str]) -> str:
    if published.kind is Kind.CONTACT_FORCE:
        return f"The force that the plate reads acts on the striker's own {_listed(own)}."
    bounded = published.kind is Kind.LOCAL_PRESSURE and case.local_pressure is None
    bound = " A print bounds local pressure, it does not give it." if bounded else ""
    return f"The pressure of the contact acts on the striker's own {_listed(own)}.{bound}"


def _of_own_limb(case: Case, published: Published) -> tuple[Comparability, str]:
    wanted = _listed(published.surfaces)
    if case.surfaces:
        return (
            Comparability.NEVER,
            f"It is about the striker's own {wanted}; this lands with the {_listed(case.surfaces)}.",
        )
    return (
        Comparability.COMPARABLE,
        f"If it was struck with the {wanted}: the limb feels the force that the plate reads.",
    )


def _from_one_side(case: Case, published: Published) -> str:
    if published.kind is Kind.LOCAL_PRESSURE and case.local_pressure is None:
        return f"A print bounds local pressure, it does not give it. {padding(case)}"
    if published.kind is Kind.MEAN_PRESSURE:
        return (
            f"A print holds all that ever touched, so the mean at the peak was at least this. {padding(case)}"
        )
    return padding(case)


def _needs(published: Published, why: str) -> str:
    if published.kind is Kind.CONTACT_FORCE:
        return "The part gives way with its own mass and stiffness: needs a model from the plate to the body."
    return why


def _unfit(published: Published) -> str:
    return f"The conditions are too far from a strike on a plate. {published.note}".strip()


def _listed(words: Iterable[str]) -> str:
    return " or ".join(sorted(words))
