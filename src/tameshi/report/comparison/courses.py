"""From trials to the timeline of each session: every strike in its order, with the trend of each group."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

import numpy as np

from tameshi.comparison import Trial, band_of
from tameshi.errors import UnmeasurableError
from tameshi.report.comparison.drawings import Course, Timeline
from tameshi.report.comparison.spreads import point_of
from tameshi.report.curves import axes_of
from tameshi.report.drawing import Words
from tameshi.report.notation import Notation


def timelines(
    groups: Mapping[str, Sequence[Trial]],
    figure: str,
    notation: Notation,
    *,
    outliers: frozenset[str] = frozenset(),
    names: Mapping[str, str] | None = None,
) -> tuple[Timeline, ...]:
    """Return the timelines of sessions with three strikes and more, in order of appearance.

    Parameters
    ----------
    groups : mapping of str to sequence of Trial
    figure : str
        In words.
    notation : Notation
    outliers : frozenset of str
        Labels of trials that stand out.
    names : mapping of str to str or None
        What sessions without a code are called, by what stands in their trials.
    """
    groups_in_order = list(groups)
    sessions: dict[tuple[str, str], list[tuple[str, Trial]]] = {}
    for name, trials in groups.items():
        for trial in trials:
            sessions.setdefault((trial.athlete, trial.session), []).append((name, trial))
    drawn = []
    for place, ((athlete, session), own) in enumerate(sessions.items(), start=1):
        if len(own) < 3:  # noqa: PLR2004  less is no course
            continue
        called = (names or {}).get(session, session)
        title = ", ".join(filter(None, (athlete, f"session {called}" if called else "")))
        drawn.append(
            _timeline(own, figure, notation, f"timeline-{place}", title, (groups_in_order, outliers))
        )
    return tuple(drawn)


def _timeline(
    own: Sequence[tuple[str, Trial]],
    figure: str,
    notation: Notation,
    key: str,
    title: str,
    among: tuple[list[str], frozenset[str]],
) -> Timeline:
    order, outliers = among
    ordered = sorted(own, key=lambda pair: pair[1].order)
    # recordings carry no common clock: only within one of them is time known
    timed = len({trial.recording for _, trial in ordered}) == 1 and all(
        trial.at is not None for _, trial in ordered
    )
    places = [float(trial.at or 0.0) if timed else 1.0 + n for n, (_, trial) in enumerate(ordered)]
    courses = tuple(
        _course(
            name,
            order.index(name),
            [(at, trial) for at, (group, trial) in zip(places, ordered, strict=True) if group == name],
            outliers,
        )
        for name in dict.fromkeys(group for group, _ in ordered)
    )
    words = Words(
        key=key,
        title=f"{figure.capitalize()} over a session: {title}"
        if title
        else f"{figure.capitalize()} over a session",
        alternative=_alternative(courses),
        caption=_caption(courses, timed=timed),
    )
    return Timeline(
        words=words,
        across="time in the recording [s]" if timed else "strike of the session",
        axes=axes_of(figure, ordered[0][1].value.unit, notation),
        courses=courses,
        is_counted=not timed,
    )


def _course(name: str, place: int, own: Sequence[tuple[float, Trial]], outliers: frozenset[str]) -> Course:
    across = np.array([where for where, _ in own])
    empty = np.zeros(0)
    along, line, low, high = empty, empty, empty, empty
    try:
        band = band_of(across, [trial.value.value for _, trial in own])
        along, line, low, high = band.place, band.middle, band.low, band.high
    except UnmeasurableError:
        pass  # so few strikes have no trend
    return Course(
        label=name,
        place=place,
        across=across,
        points=tuple(point_of(trial.value) for _, trial in own),
        outliers=tuple(number for number, (_, trial) in enumerate(own) if trial.label in outliers),
        along=along,
        line=line,
        low=low,
        high=high,
    )


def _alternative(courses: Sequence[Course]) -> str:
    told = []
    for one in courses:
        course = ""
        if len(one.line):
            change = float(one.line[-1] / one.line[0] - 1.0) if one.line[0] else 0.0
            course = f", whose line {'rises' if change > 0.0 else 'falls'} by {abs(change):.0%}"
        told.append(f"{one.label}: {len(one.points)} strikes{course}")
    return f"Strikes in their order. {'; '.join(told)}."


def _caption(courses: Sequence[Course], *, timed: bool) -> str:
    told = [
        "Every strike is a point; a line through it, where it shows, is the 95 % interval of its measurement."
    ]
    if any(len(one.line) for one in courses):
        told.append(
            "Line and tint: a straight line through the strikes of a group, with its 95 % band. A band "
            "that holds a level line shows neither warming up nor tiring, and does not rule them out."
        )
    if any(one.outliers for one in courses):
        told.append("Ringed: stands out from the others, and is kept.")
    if not timed:
        told.append(
            "Recordings carry no common clock: strikes are numbered, recordings in the order they were added."
        )
    return " ".join(told)
