"""What the person says about a recording or a print.

Nothing is required: what was not recorded is None and is shown as such. Quantities are in SI.
"""

import math
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any, Literal, get_args

from tameshi.errors import WrongUseError
from tameshi.study.names import clean_athlete, clean_note, clean_tag

Side = Literal["left", "right", "both"]

MOST_STRIKES = 1_000_000
ALL_PRINTS = "all"
_MOST_PRINTS = 1000


@dataclass(frozen=True, slots=True, kw_only=True)
class RecordingDescription:
    """What is said about a recording.

    Parameters
    ----------
    technique, session : str or None
    athlete : str or None
        A code such as ``A07``; what looks like a name is refused.
    side : "left", "right", "both" or None
        Hand or foot it was struck with.
    note : str or None
    rig : str or None
        SHA-256 of the rig file it was recorded with.
    channel : str or None
        Column or track that holds the force.
    force_scale : str or None
        Force for a volt or for one unit of the file, as typed: ``2.5 kN/V``.
    rate : float or None
        Samples a second, where the file does not say. [Hz]
    channel_class : str or None
        Channel frequency class the force is to be filtered to.
    speed : float or None
        Of what strikes, at contact, where it was measured otherwise. [m/s]

    Raises
    ------
    WrongUseError
        ``not-a-code``, ``too-long``, ``unknown-side``, ``out-of-range``.
    """

    technique: str | None = None
    athlete: str | None = None
    session: str | None = None
    side: Side | None = None
    note: str | None = None
    rig: str | None = None
    channel: str | None = None
    force_scale: str | None = None
    rate: float | None = None
    channel_class: str | None = None
    speed: float | None = None

    def __post_init__(self) -> None:
        _tidy(self, "technique", "session", "channel", "force_scale", "channel_class")
        if self.side is not None and self.side not in get_args(Side):
            raise WrongUseError(
                "unknown-side", f"{self.side!r} is not a side.", hint="Write left, right or both."
            )
        _refuse_unless_positive(self.rate, "rate", "Hz")
        _refuse_unless_positive(self.speed, "speed", "m/s")


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintDescription:
    """What is said about the picture of a contact print.

    Parameters
    ----------
    technique, session : str or None
    athlete : str or None
        A code such as ``A07``; what looks like a name is refused.
    reference : str or None
        What gives the picture its scale: ``target``, ``scan``, ``scan:600``, ...
    bar_length : float or None
        Measured length of the sheet's 100 mm bar. [m]
    paper : str or None
        ``a4`` or ``letter``.
    recording : str or None
        SHA-256 of the recording its strike is in; None for a typical print of the technique.
    strike : int or None
        Index of the strike in that recording, from 1.
    note : str or None
    points : mapping or None
        Points picked by hand, as ``footprint.Picked.as_dict`` writes them; empty takes them back.
    corrections : mapping or None
        Corrections by hand, as ``footprint.Corrections.as_dict`` writes them; empty takes them back.
    which : str or None
        Which of several prints on the sheet: its number from 1, or ``all``.
    lens : str or None
        SHA-256 of the lens file of the camera that took the picture.

    Raises
    ------
    WrongUseError
        ``not-a-code``, ``too-long``, ``out-of-range``, ``strike-incomplete``, ``unknown-print``.
    """

    technique: str | None = None
    athlete: str | None = None
    session: str | None = None
    reference: str | None = None
    bar_length: float | None = None
    paper: str | None = None
    recording: str | None = None
    strike: int | None = None
    note: str | None = None
    points: Mapping[str, Any] | None = None
    corrections: Mapping[str, Any] | None = None
    which: str | None = None
    lens: str | None = None

    def __post_init__(self) -> None:
        _tidy(self, "technique", "session", "reference", "paper", "which")
        refuse_no_print(self.which)
        _refuse_unless_positive(self.bar_length, "bar length", "m")
        if (self.recording is None) != (self.strike is None):
            raise WrongUseError(
                "strike-incomplete",
                "A print belongs to one strike of one recording, or to none.",
                hint="Give the recording and the index of the strike, or neither.",
            )
        if self.strike is not None and not 1 <= self.strike <= MOST_STRIKES:
            raise WrongUseError("out-of-range", f"There is no strike {self.strike}.", hint="Count from 1.")

    @property
    def is_typical(self) -> bool:
        """Whether it stands for its technique and not for one strike."""
        return self.recording is None


Description = RecordingDescription | PrintDescription


def refuse_no_print(which: str | None) -> None:
    """Refuse what is neither the number of a print nor all of them.

    Raises
    ------
    WrongUseError
        ``unknown-print``.
    """
    if which is None or which == ALL_PRINTS:
        return
    if not (which.isascii() and which.isdecimal() and 1 <= int(which) <= _MOST_PRINTS):
        raise WrongUseError(
            "unknown-print",
            f"{which!r} is no print of a sheet.",
            hint=f"Give its number, from 1, or {ALL_PRINTS}.",
        )


def _tidy(description: Description, *tags: str) -> None:
    for name in tags:
        object.__setattr__(description, name, clean_tag(name, getattr(description, name)))
    object.__setattr__(description, "athlete", clean_athlete(description.athlete))
    object.__setattr__(description, "note", clean_note(description.note))


def _refuse_unless_positive(value: float | None, what: str, unit: str) -> None:
    if value is not None and not (math.isfinite(value) and value > 0.0):
        raise WrongUseError("out-of-range", f"A {what} of {value!r} {unit} is not possible.")
