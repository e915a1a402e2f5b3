"""What a report says of single things: a recording, a strike, the pressure under it, a print.

Facts, figures and sentences, without a word about how they are set; ``content`` puts them together.
"""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.pressure import ContactLaw, ContactModel
from tameshi.report.drawing import AreaForce, Budget, ForceTime
from tameshi.report.humps import NeedAndStrike
from tameshi.report.notation import Entry


@dataclass(frozen=True, slots=True)
class Fact:
    """Something said about a thing, with the name of what is said."""

    name: str
    words: str


@dataclass(frozen=True, slots=True)
class Named:
    """An entry of a table with the name of its quantity."""

    name: str
    entry: Entry


@dataclass(frozen=True, slots=True)
class Link:
    """A place in the report.

    Parameters
    ----------
    anchor : str
    words : str
    """

    anchor: str
    words: str


@dataclass(frozen=True, slots=True)
class Remark:
    """A flag where it was raised.

    Parameters
    ----------
    code : str
    title : str
    message : str
        With the figures of this case.
    """

    code: str
    title: str
    message: str


@dataclass(frozen=True, slots=True)
class FlagMet:
    """A flag that was raised somewhere, and what to do about it.

    Parameters
    ----------
    code, title, advice : str
    places : tuple of Link
        Where it was raised.
    """

    code: str
    title: str
    advice: str
    places: tuple[Link, ...]


@dataclass(frozen=True, slots=True)
class Refused:
    """A file that could not be measured.

    Parameters
    ----------
    place : Link
    code, message, hint : str
    """

    place: Link
    code: str
    message: str
    hint: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PressurePart:
    """Pressure under one strike.

    Parameters
    ----------
    force, area, mean : Entry
        Peak force, contact area, and the one over the other.
    local : tuple of (ContactModel, Entry)
        Greatest local pressure on the plate under each model, mildest first.
    on_tissue : Entry
        The most it counts as beside published local pressures.
    bounded : bool
        Whether the models bound local pressure; at a hard edge they do not.
    area_from : str
        ``"own print"``, ``"area law"`` or ``"typical print"``.
    over_time : tuple of Named
        How long the mean pressure stays above half its peak, and its integral.
    patches : tuple of Named
        Mean pressure under each patch, or its bounds; empty where there is one patch or no own print.
    limited_by : tuple of str
        What limits the mean pressure, and what would make it surer.
    prints : tuple of Link
        The prints its area comes from.
    remarks : tuple of Remark
        Those that neither strike nor print carries already.
    """

    force: Entry
    area: Entry
    mean: Entry
    local: tuple[tuple[ContactModel, Entry], ...]
    on_tissue: Entry
    bounded: bool
    area_from: str
    over_time: tuple[Named, ...]
    patches: tuple[Named, ...]
    limited_by: tuple[str, ...]
    prints: tuple[Link, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class StrikePart:
    """One strike.

    Parameters
    ----------
    place : Link
    index : int
    onset : float
        From the first sample of the recording. [s]
    figures : tuple of Named
        All its measured quantities.
    loading_span : float or None
        Span over which the loading rate was taken. [s]
    pressure : PressurePart or None
    why_no_pressure : str
    curve : ForceTime or None
    budget : Budget or None
    remarks : tuple of Remark
    """

    place: Link
    index: int
    onset: float
    figures: tuple[Named, ...]
    loading_span: float | None
    pressure: PressurePart | None
    why_no_pressure: str
    curve: ForceTime | None
    budget: Budget | None
    remarks: tuple[Remark, ...]

    def figure(self, name: str) -> Entry:
        """Return one of its measured quantities by name."""
        return next(one.entry for one in self.figures if one.name == name)


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class RecordingPart:
    """One recording.

    Parameters
    ----------
    place : Link
    facts : tuple of Fact
    strikes : tuple of StrikePart
    remarks : tuple of Remark
        Those of the recording as a whole.
    refused : Refused or None
        Why it could not be measured.
    """

    place: Link
    facts: tuple[Fact, ...]
    strikes: tuple[StrikePart, ...] = ()
    remarks: tuple[Remark, ...] = ()
    refused: Refused | None = None


@dataclass(frozen=True, slots=True)
class Picture:
    """A picture as it is kept with a result.

    Parameters
    ----------
    png : bytes
    alternative : str
        What it shows, for those who cannot see it.
    caption : str
    """

    png: bytes
    alternative: str
    caption: str


@dataclass(frozen=True, slots=True)
class PatchPart:
    """One patch of a print: its areas, its principal axes, and which way the longer one lies."""

    index: int
    contact_area: Entry
    inked_area: Entry
    major_axis: Entry
    minor_axis: Entry
    direction: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PrintPart:
    """One contact print.

    Parameters
    ----------
    place : Link
    facts : tuple of Fact
    strike : Link or None
        The strike that left it; None for a typical print.
    picture : Picture or None
    areas : tuple of Named
        Contact area and inked area of the whole print.
    patches : tuple of PatchPart
    spacings : tuple of Named
        Distances between the middles of neighbouring patches.
    prints : tuple of Named
        Contact area of each print, where the sheet holds several.
    set_aside : str
        What ink was not counted, in words.
    budget : Budget or None
    remarks : tuple of Remark
    refused : Refused or None
        Why it could not be measured.
    """

    place: Link
    facts: tuple[Fact, ...]
    strike: Link | None = None
    picture: Picture | None = None
    areas: tuple[Named, ...] = ()
    patches: tuple[PatchPart, ...] = ()
    spacings: tuple[Named, ...] = ()
    prints: tuple[Named, ...] = ()
    set_aside: str = ""
    budget: Budget | None = None
    remarks: tuple[Remark, ...] = ()
    refused: Refused | None = None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class PairPart:
    """A print with the strike that left it, its peak force and its contact area."""

    contact_print: Link
    strike: Link
    force: Entry
    area: Entry


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class LawPart:
    """Contact area against force on one pad.

    Parameters
    ----------
    pad : str
        Empty where it is not known.
    words : str
        Which laws of contact it speaks for, or why nothing can be said.
    exponent, scatter : str
        In words; empty where there is no law.
    pairs : tuple of PairPart
    laws : tuple of ContactLaw
    drawing : AreaForce or None
    remarks : tuple of Remark
    """

    pad: str
    words: str
    exponent: str
    scatter: str
    pairs: tuple[PairPart, ...]
    laws: tuple[ContactLaw, ...]
    drawing: AreaForce | None
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ContactPart:
    """The contact area of one technique of one athlete.

    Parameters
    ----------
    anchor, name : str
    prints : tuple of Link
    mean, next_print : Entry
    scatter : str
        From print to print, relative.
    shared : tuple of str
        Budget lines that several prints share.
    laws : tuple of LawPart
    remarks : tuple of Remark
    """

    anchor: str
    name: str
    prints: tuple[Link, ...]
    mean: Entry
    next_print: Entry
    scatter: str
    shared: tuple[str, ...]
    laws: tuple[LawPart, ...]
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class ToleranceRow:
    """Published values of one kind, region and outcome beside the strikes.

    Parameters
    ----------
    title, kind : str
    is_own : bool
        Whether it is the striker's own limb.
    ranges : (str, str)
        Lowest to highest, in SI and US customary units.
    values, from_memory, handed_down : int
        How many there are, and how many of them were not seen.
    places : tuple of (str, str)
        Where the typical and the greatest strike of each technique lies; empty where it has no such quantity.
    matches : tuple of str
        How contact area and duration of each technique match the studies.
    sources : tuple of str
    """

    title: str
    kind: str
    is_own: bool
    ranges: tuple[str, str]
    values: int
    from_memory: int
    handed_down: int
    places: tuple[tuple[str, str], ...]
    matches: tuple[str, ...]
    sources: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class OnTargetPart:
    """A technique on a target.

    Parameters
    ----------
    technique : str
    needed, peak : Entry or None
        Peak force on a rigid plate that just breaks it, and that of the strike; None where there is no
        answer.
    chance : str
        In words; why there is none, where there is none.
    hangs_on : str
        Where the doubt comes from.
    drawing : NeedAndStrike or None
    remarks : tuple of Remark
    """

    technique: str
    needed: Entry | None
    peak: Entry | None
    chance: str
    hangs_on: str
    drawing: NeedAndStrike | None
    remarks: tuple[Remark, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class TargetPart:
    """A target to break.

    Parameters
    ----------
    place : Link
    facts : tuple of Fact
    needs : tuple of Named
    techniques : tuple of OnTargetPart
    sources : tuple of str
        Keys.
    remarks : tuple of Remark
        Of the target itself.
    refused : Refused or None
        Why nothing can be said.
    """

    place: Link
    facts: tuple[Fact, ...] = ()
    needs: tuple[Named, ...] = ()
    techniques: tuple[OnTargetPart, ...] = ()
    sources: tuple[str, ...] = ()
    remarks: tuple[Remark, ...] = ()
    refused: Refused | None = None
