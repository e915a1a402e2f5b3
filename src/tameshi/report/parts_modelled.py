"""What a report says of published tolerance, and of what a model carries over to parts of the body."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.report.drawing import BesidePublished
from tameshi.report.parts import Fact, Link, Remark, ToleranceRow
from tameshi.report.plate_and_part import PlateAndPart


@dataclass(frozen=True, slots=True)
class BandRow:
    """A figure of every strike that was carried over.

    Parameters
    ----------
    name : str
    cells : tuple of (str, str)
        In both systems of units, the study's first; the second empty where it would say the same.
    is_measured : bool
        Whether it was measured on the plate; else it comes from the model.
    """

    name: str
    cells: tuple[tuple[str, str], ...]
    is_measured: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TransferPart:
    """Strikes carried over to one part of the body.

    Parameters
    ----------
    place : Link
    columns : tuple of (str, Link)
        Technique and which of its strikes, with where that stands.
    rows : tuple of BandRow
    drawing : PlateAndPart or None
    assumptions : tuple of str
    refused : tuple of str
        Why strikes were not carried over.
    sources : tuple of str
        Keys.
    remarks : tuple of Remark
    """

    place: Link
    columns: tuple[tuple[str, Link], ...]
    rows: tuple[BandRow, ...]
    drawing: PlateAndPart | None
    assumptions: tuple[str, ...]
    refused: tuple[str, ...]
    sources: tuple[str, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelledRow:
    """A published value that needs a model, beside modelled bands.

    Parameters
    ----------
    title, key : str
    ranges : (str, str)
        In SI and US customary units; the second empty where both are the same.
    words : str
        What the published number or range is.
    from_memory : bool
    places : tuple of (str, str)
        Where the bands of the typical and the greatest strike of each technique lie.
    source : str
    """

    title: str
    key: str
    ranges: tuple[str, str]
    words: str
    from_memory: bool
    places: tuple[tuple[str, str], ...]
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class ModelledKind:
    """Published values of one kind that need a model.

    Parameters
    ----------
    kind : str
    bands : tuple of (str, str)
        Of the typical and the greatest strike of each technique.
    rows : tuple of ModelledRow
    """

    kind: str
    bands: tuple[tuple[str, str], ...]
    rows: tuple[ModelledRow, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ModelledPart:
    """Modelled bands beside published values that need a model.

    Parameters
    ----------
    model : str
    techniques : tuple of str
    kinds : tuple of ModelledKind
    conditions : tuple of str
        How area and duration match, and what makes the model doubtful.
    refused : tuple of str
        Strikes that the model does not hold for, and why.
    drawings : tuple of BesidePublished
    """

    model: str
    techniques: tuple[str, ...]
    kinds: tuple[ModelledKind, ...]
    conditions: tuple[str, ...]
    refused: tuple[str, ...]
    drawings: tuple[BesidePublished, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class TolerancePart:
    """Strikes beside published tolerance.

    Parameters
    ----------
    opening : tuple of str
    techniques : tuple of str
    rows : tuple of ToleranceRow
    drawings : tuple of BesidePublished
    unpadded : bool
        Whether every plate is known to have been bare.
    not_compared : tuple of Fact
        Kinds that no strike on a plate is set beside, and why.
    gaps : tuple of str
        What no published number was found for.
    cautions : tuple of (str, str)
        Lead and rest.
    sources : tuple of str
    modelled : tuple of ModelledPart
        Values that need a model, beside what models gave.
    """

    opening: tuple[str, ...]
    techniques: tuple[str, ...]
    rows: tuple[ToleranceRow, ...]
    drawings: tuple[BesidePublished, ...]
    unpadded: bool
    not_compared: tuple[Fact, ...]
    gaps: tuple[str, ...]
    cautions: tuple[tuple[str, str], ...]
    sources: tuple[str, ...]
    modelled: tuple[ModelledPart, ...] = ()
