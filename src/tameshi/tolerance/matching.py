"""Whether the conditions of a strike match those of a study: area, duration, pad; in words."""

from __future__ import annotations

import math

from tameshi.quantity import Quantity, parse_unit
from tameshi.reference import row
from tameshi.tolerance.case import Case
from tameshi.tolerance.kind import Kind
from tameshi.tolerance.modelled import Modelled
from tameshi.tolerance.published import Published, Rate, Span
from tameshi.tolerance.reading import Known

_OF_A_HEAD = "head "
_CM2, _IN2 = parse_unit("cm2").factor, parse_unit("in2").factor


def conditions(case: Case, published: Published, modelled: Modelled | None = None) -> tuple[str, ...]:
    """Return how the conditions of a strike compare with those of a study, a sentence each.

    Parameters
    ----------
    case : Case
    published : Published
    modelled : Modelled or None
        What is set beside it, where a model worked it out: then the duration is the model's, and the area
        still that on the plate. Of the motion of a head the area is no condition. What makes the model
        doubtful for this strike comes first.
    """
    if modelled is None:
        return (_area(case, published), _duration(case.duration, "Contact duration", published))
    duration = _duration(modelled.duration, "Modelled contact duration", published)
    if published.kind.startswith(_OF_A_HEAD):
        return (*modelled.doubts, duration)
    return (
        *modelled.doubts,
        f"{_area(case, published)} The area is that on the plate; on a soft part it is larger.",
        duration,
    )


def matched(case: Case, published: Published) -> tuple[str, str]:
    """Return how contact area and duration match those of a study, in a word each, for counting.

    Parameters
    ----------
    case : Case
    published : Published

    Returns
    -------
    area, duration : str
        ``alike``, ``unlike``, ``not stated`` (by the study), ``not measured`` (of the strike); of the
        duration also ``slow`` and ``ballistic`` loading.
    """
    area = _in_a_word(case.area, (published.area, published.area))
    if published.rate in {Rate.SLOW, Rate.BALLISTIC}:
        return area, "slow" if published.rate is Rate.SLOW else "ballistic"
    return area, _in_a_word(case.duration, published.pulse)


def unlike_mean(*, published: Published, modelled: Modelled) -> str:
    """Return why a modelled mean over time may not be set beside a published one; empty where it may.

    A mean says nothing without the time it is taken over: a head bears 100 g for 10 ms, not for 50.
    """
    if published.kind is not Kind.HEAD_MEAN_ACCELERATION:
        return ""
    shortest, longest = published.pulse
    if shortest is None or modelled.duration is None:
        return "A mean over another stretch than the contact, which the model does not give."
    alike, ours = float(row("tolerance_relations", "alike")["factor"]), modelled.duration.value
    if shortest / alike <= ours <= (longest or math.inf) * alike:
        return ""
    return (
        f"A mean is worth nothing without its time: {_span(shortest, longest)} there, about "
        f"{1e3 * ours:.2g} ms in the model."
    )


def padding(case: Case) -> str:
    """Return what the pad on the plate means for a comparison from one side."""
    if case.is_bare:
        return "Bare plate: a part that is free or soft would feel less from the same strike."
    what = "Pad not known: a padded plate" if case.pad is None else f"Padded plate ({case.pad}): it"
    return f"{what} may read less than a bare contact, so nothing follows from a low reading."


def _in_a_word(ours: Quantity | None, theirs: Span) -> str:
    shortest, longest = theirs
    if shortest is None and longest is None:
        return "not stated"
    if ours is None:
        return "not measured"
    alike = float(row("tolerance_relations", "alike")["factor"])
    is_alike = (shortest or 0.0) / alike <= ours.value <= (longest or math.inf) * alike
    return "alike" if is_alike else "unlike"


def _area(case: Case, published: Published) -> str:
    if published.area is None:
        return "Contact area of the study not stated."
    theirs = f"{published.area / _CM2:.3g} cm² ({published.area / _IN2:.2g} in²)"
    if case.area is None:
        return f"Contact area not measured; {theirs} in the study."
    return f"Contact area {_ratio(case.area.value, published.area)} the study's {theirs}."


def _duration(ours: Known | None, what: str, published: Published) -> str:
    if published.rate is Rate.SLOW:
        factor = row("tolerance_relations", "fast over slow")["factor"]
        return f"The study loaded slowly; on the skull fast loading took {factor:g} times the force."
    if published.rate is Rate.BALLISTIC:
        return "The study shot light projectiles: its pulses are much shorter than a strike."
    shortest, longest = published.pulse
    if shortest is None and longest is None:
        return "Pulse duration of the study not stated."
    if ours is None:
        return f"{what} not known; {_span(shortest, longest)} in the study."
    return f"{what} {_against(ours.value, shortest, longest)}."


def _against(ours: float, shortest: float | None, longest: float | None) -> str:
    if shortest is not None and ours < shortest:
        return f"{_ratio(ours, shortest)} the study's {_span(shortest, longest)}"
    if longest is not None and ours > longest:
        return f"{_ratio(ours, longest)} the study's {_span(shortest, longest)}"
    return f"within the study's {_span(shortest, longest)}"


def _ratio(ours: float, theirs: float) -> str:
    """Return how many times theirs ours is, in words that lead to theirs."""
    alike = float(row("tolerance_relations", "alike")["factor"])
    times = ours / theirs
    if 1.0 / alike <= times <= alike:
        return f"alike, {times:.1f} times"
    return f"does not match: {times:.1f} times" if times > 1.0 else f"does not match: {times:.2g} times"


def _span(shortest: float | None, longest: float | None) -> str:
    if shortest is not None and shortest == longest:
        return f"{1e3 * shortest:g} ms"
    if shortest is None and longest is not None:
        return f"at most {1e3 * longest:g} ms"
    if shortest is not None and longest is None:
        return f"at least {1e3 * shortest:g} ms"
    return f"{1e3 * (shortest or 0.0):g} to {1e3 * (longest or 0.0):g} ms"
