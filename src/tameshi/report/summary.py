"""The summary of a report: what was done, what came out, how to read it, in words for everyone."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from tameshi.report.content import Summary, TechniquePart
from tameshi.report.drawing import SideBySide
from tameshi.report.parts import PrintPart, RecordingPart, Refused

_BEST = (
    "The figure in front is the best estimate. The range in brackets is its 95 % interval: given all that is "
    "known of the measurement, the true value lies in it with 95 % confidence. A figure without its range is "
    "only half a result."
)
_WORDS = (
    "Peak force is the greatest push on the plate at any moment of a strike. Pressure is that force divided "
    "by the area of contact: the same force presses harder on a smaller surface."
)
_MEANS = (
    "A typical value is the mean over the strikes or prints of a technique. Its interval also covers how "
    "much these differ from each other, as far as so few can tell."
)


def summary_of(
    recordings: Sequence[RecordingPart],
    prints: Sequence[PrintPart],
    techniques: Sequence[TechniquePart],
    drawings: Sequence[SideBySide],
) -> Summary:
    """Return the summary.

    Parameters
    ----------
    recordings, prints, techniques, drawings
        The parts it sums up.
    """
    refused = tuple(_refused(recordings, prints))
    return Summary(
        opening=tuple(_opening(recordings, prints, techniques, refused)),
        techniques=tuple(techniques),
        reading=(_BEST, _WORDS, _MEANS) if techniques else (),
        drawings=tuple(drawings),
        refused=refused,
    )


def counted(number: int, one: str, many: str = "") -> str:
    """Return a number of things in words: ``no print``, ``one print``, ``5 prints``."""
    written = {0: "no", 1: "one"}.get(number, str(number))
    return f"{written} {one if number == 1 else many or f'{one}s'}"


def _refused(recordings: Sequence[RecordingPart], prints: Sequence[PrintPart]) -> Iterable[Refused]:
    refused = [*(part.refused for part in recordings), *(part.refused for part in prints)]
    return (one for one in refused if one is not None)


def _opening(
    recordings: Sequence[RecordingPart],
    prints: Sequence[PrintPart],
    techniques: Sequence[TechniquePart],
    refused: Sequence[Refused],
) -> Iterable[str]:
    if not recordings and not prints:
        yield "This study holds no recording and no picture of a print yet."
        return
    strikes = sum(len(part.strikes) for part in recordings)
    athletes = {code for part in techniques for code in part.athletes}
    yield (
        f"This study holds {counted(len(recordings), 'recording')} and "
        f"{counted(len(prints), 'picture of a contact print', 'pictures of contact prints')}. "
        f"{counted(strikes, 'strike').capitalize()} "
        f"{'was' if strikes == 1 else 'were'} found{_by(techniques, athletes)}."
    )
    without = sum(part.strikes - part.with_peak for part in techniques)
    if without:
        whose = "it" if without == 1 else "each of them"
        yield f"For {counted(without, 'strike')} no peak force can be given; the reason stands with {whose}."
    if refused:
        one = len(refused) == 1
        yield f"{counted(len(refused), 'file').capitalize()} could not be measured, for the reason" + (
            " given below." if one else "s given below."
        )


def _by(techniques: Sequence[TechniquePart], athletes: set[str]) -> str:
    struck = [part for part in techniques if part.strikes]
    if not struck:
        return ""
    told = f", in {counted(len(struck), 'technique')}"
    return f"{told} by {counted(len(athletes), 'athlete')}" if athletes else told
