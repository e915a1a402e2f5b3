"""What a model worked out from a strike, for published values that need one."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.tolerance.kind import Kind
from tameshi.tolerance.reading import Known, Reading


@dataclass(frozen=True, slots=True, kw_only=True)
class Modelled:
    """A quantity that a model worked out from a strike: a band, and what it rests on.

    Parameters
    ----------
    kind : Kind
    least : Quantity or Drawn
    most : Quantity or Drawn or None
        The same object where the model gives the quantity, another where it gives two bounds, None where
        it gives a lower bound only.
    model : str
        Its name, as shown to people.
    assumptions : tuple of str
        What it takes for granted, a sentence each.
    regions : tuple of str
        Regions it was worked out for; empty where it holds for any.
    duration : Quantity or Drawn or None
        Of the modelled contact. [s]
    doubts : tuple of str
        Why the model may not hold for this strike, a sentence each.
    refused : str
        Why it does not hold for this strike, so that nothing may be set beside it; empty where it may.
    """

    kind: Kind
    least: Known
    most: Known | None
    model: str
    assumptions: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    duration: Known | None = None
    doubts: tuple[str, ...] = ()
    refused: str = ""

    @property
    def reading(self) -> Reading:
        """The same as a reading."""
        return Reading(
            kind=self.kind,
            least=self.least,
            most=self.least if self.most is None else self.most,
            at_least=self.least.low if self.most is None else None,
            how=f"worked out by the model “{self.model}”",
            model=self.model,
        )
