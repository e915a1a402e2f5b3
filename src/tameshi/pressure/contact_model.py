"""How far local pressure can rise above the mean under simple laws of contact.

A print says where contact was, not how it was shared out. The models bound it from below (the same
everywhere) and above (a rounded bone under a thin layer); at a rigid sharp edge there is no bound.
"""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.quantity import Quantity
from tameshi.reference import table


@dataclass(frozen=True, slots=True)
class ContactModel:
    """A law of contact.

    Parameters
    ----------
    name : str
    factor : float
        Greatest local pressure over mean pressure.
    meaning : str
        What it stands for, in words.
    """

    name: str
    factor: float
    meaning: str


@dataclass(frozen=True, slots=True)
class Band:
    """What the greatest local pressure could be.

    Parameters
    ----------
    low, high : float
        Under the mildest and the sharpest model, at the best estimate of the mean. [Pa]
    lowest, highest : float
        The same, stretched by the uncertainty of the mean. [Pa]
    models : tuple of ContactModel
        Mildest first.
    """

    low: float
    high: float
    lowest: float
    highest: float
    models: tuple[ContactModel, ...]

    @property
    def model(self) -> str:
        """Name the models that bound the band."""
        first, last = self.models[0], self.models[-1]
        return f"{first.name} ({first.factor:g}) to {last.name} ({last.factor:g})"


def contact_models() -> tuple[ContactModel, ...]:
    """Return the models of the reference table, mildest first."""
    rows = table("contact_models").rows
    models = (ContactModel(key, float(row["factor"]), row["meaning"]) for key, row in rows.items())
    return tuple(sorted(models, key=lambda model: model.factor))


def local_band(mean_pressure: Quantity) -> Band:
    """Return the band of greatest local pressure for a mean pressure.

    Parameters
    ----------
    mean_pressure : Quantity
        [Pa]

    Notes
    -----
    Source: K. L. Johnson, Contact Mechanics (1985), chapters 3 and 4 (page from memory).
    """
    models = contact_models()
    mildest, sharpest = models[0].factor, models[-1].factor
    return Band(
        low=mildest * mean_pressure.value,
        high=sharpest * mean_pressure.value,
        lowest=mildest * mean_pressure.low,
        highest=sharpest * mean_pressure.high,
        models=models,
    )
