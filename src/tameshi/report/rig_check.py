"""A rig check as a drawing: the strike, the raw reading of it with its samples, and what ends where."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np

from tameshi.reference import row
from tameshi.report.drawing import Axis, Curve, FloatArray, Words, thinned
from tameshi.rig import Effect, Limit, RigCheck, samples_of

_POINTS, _FLAT = 400, 0.001
_BEFORE, _AFTER = 0.08, 1.6  # in contact durations
_MOST_SAMPLES = 120  # more would be a band
_FARTHEST = 2.6  # times the peak: what ends above is told in words


@dataclass(frozen=True, slots=True, kw_only=True)
class RigDrawing:
    """What a picture of a rig check shows.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Force on the left and on the right.
    force, reading : Curve
    samples : Curve or None
        None where there are too many to be told apart.
    ends : tuple of (str, float)
        What ends within the drawing. [N]
    lines : tuple of (str, str, str)
        Each limit's name, verdict and effect in words.
    """

    words: Words
    axes: tuple[Axis, Axis]
    force: Curve
    reading: Curve
    samples: Curve | None
    ends: tuple[tuple[str, float], ...]
    lines: tuple[tuple[str, str, str], ...]


def draw_check(checked: RigCheck) -> RigDrawing:
    """Return the drawing of a rig check.

    Parameters
    ----------
    checked : RigCheck
    """
    seen, strike = checked.seen, checked.strike
    shown = seen.time <= _AFTER * strike.duration
    time, samples = samples_of(seen, checked.rate)
    within = time <= _AFTER * strike.duration
    height = max(float(seen.force.max()), float(seen.reading.max()))
    few = np.count_nonzero(within) <= _MOST_SAMPLES
    pound = float(row("units", "lbf")["factor"])
    large = strike.peak >= 1000.0  # noqa: PLR2004  kN from there on
    first = Axis("force", "kN", 1000.0) if large else Axis("force", "N", 1.0)
    return RigDrawing(
        words=_words(checked),
        axes=(first, Axis("force", "lbf", pound)),
        force=_line(seen.time[shown], seen.force[shown], strike.duration),
        reading=_line(seen.time[shown], seen.reading[shown], strike.duration),
        samples=Curve(time[within], samples[within]) if few else None,
        ends=tuple((name, at) for name, at in checked.ends if at <= _FARTHEST * height),
        lines=tuple((limit.name, limit.verdict, _effect(limit)) for limit in checked.limits),
    )


def _line(time: FloatArray, force: FloatArray, duration: float) -> Curve:
    kept = thinned(force, most=_POINTS, tolerance=_FLAT * float(np.max(np.abs(force))))
    before = np.array([-_BEFORE * duration])
    return Curve(np.concatenate((before, time[kept])), np.concatenate(([0.0], force[kept])))


def _effect(limit: Limit) -> str:
    if limit.effect is None:
        return "no matter of degree" if limit.name == "pad" else "not known"
    return (
        f"peak {_share(limit.effect.peak, limit.effect)}, rise {_share(limit.effect.rise, limit.effect)}, "
        f"impulse {_share(limit.effect.impulse, limit.effect)}"
    )


def _share(share: float, effect: Effect) -> str:
    percent = 100.0 * share
    if abs(percent) < 0.005:  # noqa: PLR2004  what two decimals cannot show
        return "0 %"
    written = f"±{abs(percent):.2f} %" if effect.either_way else f"{percent:+.2f} %"
    return written.replace("-", "−")


def _words(checked: RigCheck) -> Words:
    strike, together = checked.strike, checked.together
    return Words(
        key="rig-check",
        title=f"{checked.rig}: {strike.peak:.0f} N over {1e3 * strike.duration:g} ms, {checked.verdict}",
        alternative=(
            f"A strike of {strike.peak:.0f} N over {1e3 * strike.duration:g} ms and the raw reading of it, "
            f"whose peak is off by {together.peak:+.1%}. "
            + " ".join(f"{limit.name}: {limit.verdict}." for limit in checked.limits)
        ),
        caption="Solid: force on the plate. Dashed: the raw reading of it, with its samples.",
    )
