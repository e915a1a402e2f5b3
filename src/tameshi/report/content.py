"""What a report says: facts, figures and sentences, without a word about how they are set.

One content serves every form a report comes in. It is made by :func:`tameshi.report.make_report` and
laid out by ``report.html``; nothing is worked out while it is laid out.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime

from tameshi.pressure import ContactModel
from tameshi.report.comparison.parts import ComparisonPart
from tameshi.report.drawing import SideBySide
from tameshi.report.notation import Entry, Notation
from tameshi.report.pairing import PairingPart
from tameshi.report.parts import (
    ContactPart,
    Fact,
    FlagMet,
    PrintPart,
    RecordingPart,
    Refused,
    StrikePart,
    TargetPart,
)
from tameshi.report.parts_modelled import TolerancePart, TransferPart
from tameshi.study import Kind


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TechniquePart:
    """What is typical of one technique.

    Parameters
    ----------
    name : str
        As shown; with the pad where the study has several.
    athletes : tuple of str
        Codes.
    strikes, with_peak, prints : int
        Strikes found, those of them whose peak force could be measured, and prints.
    peak_force, contact_area, mean_pressure : Entry or None
        None where there is nothing to take them from.
    least, greatest : Entry or None
        Lowest and highest peak force of its strikes.
    story : str
        The same for a lay reader, in sentences.
    """

    name: str
    athletes: tuple[str, ...]
    strikes: int
    with_peak: int
    prints: int
    peak_force: Entry | None
    contact_area: Entry | None
    mean_pressure: Entry | None
    least: Entry | None
    greatest: Entry | None
    story: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Summary:
    """What a lay reader takes away.

    Parameters
    ----------
    opening : tuple of str
        Sentences on what was done.
    techniques : tuple of TechniquePart
    reading : tuple of str
        How the figures are to be read.
    drawings : tuple of SideBySide
    refused : tuple of Refused
        Files that could not be measured.
    """

    opening: tuple[str, ...]
    techniques: tuple[TechniquePart, ...]
    reading: tuple[str, ...]
    drawings: tuple[SideBySide, ...]
    refused: tuple[Refused, ...]


@dataclass(frozen=True, slots=True)
class Method:
    """One step of how it was measured.

    Parameters
    ----------
    title : str
    words : str
    sources : tuple of str
        Keys of the sources it rests on.
    """

    title: str
    words: str
    sources: tuple[str, ...] = ()


@dataclass(frozen=True, slots=True)
class Caution:
    """A caution: a lead in bold, and the rest."""

    lead: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class FileKept:
    """An original of the study.

    Parameters
    ----------
    name, sha256 : str
    kind : Kind
    size : int
        [byte]
    added_at : datetime
    measured_at : datetime or None
        When the result shown here was made.
    """

    name: str
    sha256: str
    kind: Kind
    size: int
    added_at: datetime
    measured_at: datetime | None


@dataclass(frozen=True, slots=True)
class SettingsUsed:
    """Settings that results were made with, as they are stored with them.

    Parameters
    ----------
    title : str
    values : tuple of Fact
    """

    title: str
    values: tuple[Fact, ...]


@dataclass(frozen=True, slots=True)
class Cited:
    """A source the report rests on.

    Parameters
    ----------
    key, words : str
    """

    key: str
    words: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Provenance:
    """Where everything comes from.

    Parameters
    ----------
    files : tuple of FileKept
    settings : tuple of SettingsUsed
    sources : tuple of Cited
    software : str
        Name and version.
    """

    files: tuple[FileKept, ...]
    settings: tuple[SettingsUsed, ...]
    sources: tuple[Cited, ...]
    software: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Report:
    """Everything a report says.

    Parameters
    ----------
    title : str
        Name of the study.
    at : datetime
        When it was made, in UTC.
    notation : Notation
        In which units it is written.
    facts : tuple of Fact
    summary : Summary
    cautions : tuple of Caution
    recordings : tuple of RecordingPart
    prints : tuple of PrintPart
    contacts : tuple of ContactPart
        Contact areas by technique and athlete.
    models, on_tissue : tuple of ContactModel
        Local over mean pressure on the plate, and on soft tissue, mildest first.
    tolerance : TolerancePart or None
        None where nothing was struck.
    flags : tuple of FlagMet
    methods : tuple of Method
    budget_lines : mapping of str to str
        What each line of a budget shown here stands for.
    provenance : Provenance
    targets : tuple of TargetPart
        Things to break.
    target_cautions : tuple of Caution
        What stands above them.
    comparison : ComparisonPart or None
        Strikes against each other; None where no two can be compared.
    pairing : PairingPart or None
        What belongs together, and what stands alone.
    transfers : tuple of TransferPart
        Strikes carried over to parts of the body.
    transfer_cautions : tuple of Caution
        What stands above those.
    """

    title: str
    at: datetime
    notation: Notation
    facts: tuple[Fact, ...]
    summary: Summary
    cautions: tuple[Caution, ...]
    recordings: tuple[RecordingPart, ...]
    prints: tuple[PrintPart, ...]
    contacts: tuple[ContactPart, ...]
    models: tuple[ContactModel, ...]
    on_tissue: tuple[ContactModel, ...]
    tolerance: TolerancePart | None
    flags: tuple[FlagMet, ...]
    methods: tuple[Method, ...]
    budget_lines: Mapping[str, str]
    provenance: Provenance
    targets: tuple[TargetPart, ...] = ()
    target_cautions: tuple[Caution, ...] = ()
    comparison: ComparisonPart | None = None
    pairing: PairingPart | None = None
    transfers: tuple[TransferPart, ...] = ()
    transfer_cautions: tuple[Caution, ...] = ()

    @property
    def strikes(self) -> tuple[StrikePart, ...]:
        """All strikes, recording by recording."""
        return tuple(strike for recording in self.recordings for strike in recording.strikes)
