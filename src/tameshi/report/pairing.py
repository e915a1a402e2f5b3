"""What a report says of what belongs together: strikes, prints, clips, athletes; and of what stands alone."""

from __future__ import annotations

from dataclasses import dataclass

from tameshi.report.frame import Frame
from tameshi.report.parts import Link
from tameshi.study import Pairing


@dataclass(frozen=True, slots=True, kw_only=True)
class PairedRow:
    """A strike with what belongs to it, in words; empty where there is none."""

    strike: Link
    technique: str
    athlete: str
    session: str
    prints: str
    clips: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PairingPart:
    """What belongs together.

    Parameters
    ----------
    rows : tuple of PairedRow
    alone : tuple of str
        What stands alone, a sentence each.
    with_clips : bool
        Whether any strike has a clip.
    """

    rows: tuple[PairedRow, ...]
    alone: tuple[str, ...]
    with_clips: bool


def pairing_part(found: Pairing, frame: Frame) -> PairingPart | None:
    """Return what is said of what belongs together; None of an empty study.

    Parameters
    ----------
    found : Pairing
    frame : Frame
    """
    if not found.strikes and not found.alone:
        return None
    rows = tuple(
        PairedRow(
            strike=frame.strike(one.sha256, one.strike),
            technique=one.technique or "",
            athlete=one.athlete or "",
            session=one.session or "",
            prints=", ".join(one.prints),
            clips=", ".join(one.clips),
        )
        for one in found.strikes
    )
    return PairingPart(
        rows=rows,
        alone=tuple(one.words for one in found.alone),
        with_clips=any(one.clips for one in found.strikes),
    )
