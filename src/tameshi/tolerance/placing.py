"""Where a reading lies beside a published value: below, inside or above, with probabilities.

The one place where a number of a strike meets a published number; it refuses unlike kinds.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tameshi.errors import WrongUseError
from tameshi.reference import row
from tameshi.tolerance.drawn import Drawn
from tameshi.tolerance.kind import Kind
from tameshi.tolerance.reading import Reading, quantiles, share_below
from tameshi.tolerance.spread import Lognormal, Spread

PLACES = ("below", "inside", "above")
UNTOLD = "not told apart"
_STEPS = 400
_BEYOND_DOUBT, _ALMOST_ONE = 0.999, 0.995


@dataclass(frozen=True, slots=True)
class Share:
    """A share with the band that the uncertainty of the strike gives it."""

    value: float
    low: float
    high: float


@dataclass(frozen=True, slots=True)
class Placing:
    """Where a reading lies beside a published range.

    Parameters
    ----------
    below, inside, above : float
        Probabilities.
    undecided : float
        What bounds leave open; the four add up to one.
    left_open : tuple of str
        Places that the undecided part may fall to.
    share : Share or None
        Share of the published distribution that lies below the reading, where there is a distribution and
        the reading is no band.
    """

    below: float
    inside: float
    above: float
    undecided: float
    left_open: tuple[str, ...]
    share: Share | None

    @property
    def word(self) -> str:
        """The place in words: one where it is sure enough, else all that are not ruled out."""
        sure = float(row("tolerance_relations", "told apart")["probability"])
        ranked = {"below": self.below, "inside": self.inside, "above": self.above}
        for name, probability in ranked.items():
            if probability >= sure:
                return name
        left = [
            name
            for name, probability in ranked.items()
            if probability + (self.undecided if name in self.left_open else 0.0) > 1.0 - sure
        ]
        return UNTOLD if len(left) == len(ranked) else " or ".join(left)

    @property
    def told(self) -> str:
        """The place with its probability where it is not beyond doubt."""
        sure = {"below": self.below, "inside": self.inside, "above": self.above}.get(self.word)
        if sure is not None:
            return self.word if sure > _BEYOND_DOUBT else f"{self.word} ({percent(sure)})"
        if self.undecided > 0.0:
            return self.word
        parts = ((self.below, "below"), (self.inside, "inside"), (self.above, "above"))
        return ", ".join(
            f"{name} {percent(part)}" for part, name in parts if self.word == UNTOLD or name in self.word
        )


def told_of(placing: Placing, reading: Reading) -> str:
    """Return a place in words; of what a model worked out never without its probability.

    A model that is sure of a place is still a model.
    """
    word = placing.word
    sure = {"below": placing.below, "inside": placing.inside, "above": placing.above}.get(word)
    return f"{word} ({percent(sure)})" if reading.model and sure is not None else placing.told


def place(reading: Reading, kind: Kind, spread: Spread) -> Placing:
    """Return where a reading lies beside a published range of the same kind.

    Parameters
    ----------
    reading : Reading
    kind : Kind
        Of the published value.
    spread : Spread
        [coherent SI]

    Raises
    ------
    WrongUseError
        ``unlike-kinds``, whatever the units.
    """
    if reading.kind is not kind:
        raise WrongUseError(
            "unlike-kinds",
            f"A {reading.kind} cannot be set beside a {kind}.",
            hint="Compare like with like: the same kind of quantity, not only the same unit.",
        )
    if reading.at_least is not None:
        return _beyond_bound(reading, reading.at_least, spread)
    below = share_below(reading.most, spread.low)
    above = 1.0 - share_below(reading.least, spread.high)
    places = (PLACES[0], PLACES[2]) if spread.is_point else PLACES
    if not reading.is_band:
        return Placing(below, 1.0 - below - above, above, 0.0, (), _share(reading, spread.distribution))
    within = share_below(reading.most, spread.high) - share_below(reading.least, spread.low)
    inside = 0.0 if spread.is_point else max(0.0, within)
    return Placing(below, inside, above, max(0.0, 1.0 - below - inside - above), places, None)


def percent(share: float) -> str:
    """Return a probability for people; nothing is ever 0 % or 100 %."""
    if share > _ALMOST_ONE:
        return "over 99\u00a0%"
    if share < 1.0 - _ALMOST_ONE:
        return "under 1\u00a0%"
    return f"{100.0 * share:.0f}\u00a0%"


def _beyond_bound(reading: Reading, bound: float, spread: Spread) -> Placing:
    """Return the place of something that is known to be at least this."""
    above = float(bound > spread.high)
    if isinstance(reading.least, Drawn):
        above = 1.0 - reading.least.below(spread.high)
    if above == 1.0:
        return Placing(0.0, 0.0, 1.0, 0.0, (), None)
    left = PLACES[1:] if bound > spread.low else PLACES
    return Placing(0.0, 0.0, above, 1.0 - above, left, None)


def _share(reading: Reading, distribution: Lognormal | None) -> Share | None:
    if distribution is None:
        return None
    middles = (np.arange(_STEPS) + 0.5) / _STEPS
    values = quantiles(reading.least, middles)
    whole = float(np.mean([distribution.below(float(value)) for value in values]))
    ends = (distribution.below(reading.least.low), distribution.below(reading.least.high))
    return Share(whole, *ends)
