"""How far local pressure can rise above the mean: on the plate, and as published values were measured.

A print says where contact was, not how it was shared out. On the flat plate simple laws of contact bound it
from below (the same everywhere) and above (a rounded bone under a thin layer); at a rigid sharp edge there is
no bound. Published local pressures were read on a film on soft tissue, where the ratio to the mean was far
greater: whatever is set beside them takes that ratio. Both bands are made here and nowhere else.
"""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.quantity import Quantity
from tameshi.reference import row, table


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
    meaning, why : str
        What it is the pressure of, and why it is not the other band, in words.
    """

    low: float
    high: float
    lowest: float
    highest: float
    models: tuple[ContactModel, ...]
    meaning: str
    why: str

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
    """Return the band of greatest local pressure on the plate for a mean pressure.

    Parameters
    ----------
    mean_pressure : Quantity
        [Pa]

    Notes
    -----
    Source: K. L. Johnson, Contact Mechanics (1985), chapters 3 and 4 (page from memory).
    """
    return _band(mean_pressure, contact_models(), "on the plate")


def tissue_ratios() -> tuple[ContactModel, ContactModel]:
    """Return the least and the greatest ratio of local to mean pressure on soft tissue.

    Notes
    -----
    Source: University of Mainz for the DGUV, project FP 317 (2014), reference table ``tolerance_relations``.
    """
    found = row("tolerance_relations", "peak over mean")
    meaning = str(found["meaning"])
    return (
        ContactModel("even contact", float(found["low"]), meaning),
        ContactModel("film on soft tissue", float(found["high"]), meaning),
    )


def band_on_tissue(mean_pressure: Quantity) -> Band:
    """Return the band that is set beside published local pressures, for a mean pressure.

    Parameters
    ----------
    mean_pressure : Quantity
        [Pa]
    """
    return _band(mean_pressure, tissue_ratios(), "on soft tissue")


def _band(mean_pressure: Quantity, models: tuple[ContactModel, ...], key: str) -> Band:
    said = row("local_pressure", key)
    mildest, sharpest = models[0].factor, models[-1].factor
    return Band(
        low=mildest * mean_pressure.value,
        high=sharpest * mean_pressure.value,
        lowest=mildest * mean_pressure.low,
        highest=sharpest * mean_pressure.high,
        models=models,
        meaning=str(said["meaning"]),
        why=str(said["why"]),
    )
