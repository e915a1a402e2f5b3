"""Place a pattern in one frame to a fraction of a pixel, by least squares.

The frame's light at the pattern's pixels is a gain times the pattern plus an offset; shift, and for patches
turn and growth, are found by Gauss-Newton steps with the pattern's own slopes. A smear that is even along a
line moves nothing: the place is that of the middle of the exposure.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.motion.arrays import FloatArray, Light
from tameshi.motion.pattern import SMOOTHING, Pattern, Smeared

_STEPS = 12
_DONE = 0.002  # pixels
_INSIDE = 0.9  # of a pattern's pixels: what is cut off at the border is not measured
_LONGEST_STEP = 1.5  # pixels a Gauss-Newton step may go
_STIFF_TURN = (
    4.0  # weight that keeps turn and growth near those of the frame before, a pixel of the rim's slope
)
_SHARED = 4.0 * math.pi * SMOOTHING**2  # pixels that share their noise after smoothing


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Match:
    """A pattern placed in a frame.

    Parameters
    ----------
    place : (2,) array
        Of its middle, in pixels.
    turn : (2,) array
        Growth less one and turn, of the similarity it went through.
    covariance : (2, 2) array
        Of the place, from what the fit left over, in square pixels.
    likeness : float
        Correlation with the pattern, 1 where alike.
    misfit : float
        Root mean square of what is left over, as a share of the pattern's contrast.
    """

    place: FloatArray
    turn: FloatArray
    covariance: FloatArray
    likeness: float
    misfit: float


def place_pattern(
    light: Light, pattern: Pattern, smeared: Smeared, start: FloatArray, turn: FloatArray
) -> Match | None:
    """Return where a pattern is near a place, None where the fit runs away.

    Parameters
    ----------
    light : (h, w) array
        The frame, smoothed as patterns are.
    pattern : Pattern
    smeared : Smeared
        As it looks in this frame.
    start : (2,) array
        Near where it is, in pixels.
    turn : (2,) array
        Growth and turn to begin with.
    """
    chosen = smeared.weight > 0.0
    weight = smeared.weight[chosen].astype(np.float64)
    y, x = (np.nonzero(chosen)[n].astype(np.float64) - pattern.half for n in (0, 1))
    model = smeared.light[chosen].astype(np.float64)
    slopes = [slope[chosen].astype(np.float64) for slope in smeared.slopes]
    place, bent = start.copy(), turn.copy()
    for _ in range(_STEPS):
        seen = _sampled(light, place, bent, x, y)
        if seen is None:
            return None
        columns = _columns(slopes, bent, (x, y), is_round=pattern.is_round)
        solved = _solve(columns, model, seen, weight, stiff=_STIFF_TURN if not pattern.is_round else 0.0)
        step = solved.step
        if float(np.hypot(*step[:2])) > _LONGEST_STEP:
            step = step * (_LONGEST_STEP / float(np.hypot(*step[:2])))
        place = place + step[:2]
        if not pattern.is_round:
            bent = bent + step[2:4]
        if float(np.hypot(*(place - start))) > pattern.radius + _LONGEST_STEP:
            return None
        if float(np.abs(step[:2]).max()) < _DONE:
            break
    return Match(
        place=place,
        turn=bent,
        covariance=solved.covariance,
        likeness=solved.likeness,
        misfit=solved.misfit,
    )


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class _Solved:
    step: FloatArray
    covariance: FloatArray
    likeness: float
    misfit: float


def _sampled(
    light: Light, place: FloatArray, bent: FloatArray, x: FloatArray, y: FloatArray
) -> FloatArray | None:
    """Return the frame's light at the pattern's pixels; None where many are outside of the picture."""
    grow, turn = 1.0 + bent[0], bent[1]
    at_x, at_y = place[0] + grow * x - turn * y, place[1] + turn * x + grow * y
    rows, columns = light.shape
    inside = (at_x >= 0) & (at_x <= columns - 1) & (at_y >= 0) & (at_y <= rows - 1)
    if not inside.mean() > _INSIDE:
        return None
    seen = cv2.remap(
        light,
        at_x.astype(np.float32)[None],
        at_y.astype(np.float32)[None],
        cv2.INTER_CUBIC,
        borderMode=cv2.BORDER_REPLICATE,
    )
    return np.asarray(seen[0], np.float64)


def _columns(
    slopes: list[FloatArray], bent: FloatArray, at: tuple[FloatArray, FloatArray], *, is_round: bool
) -> list[FloatArray]:
    """Return how the light at each pixel changes with shift, growth and turn."""
    grow, turn = 1.0 + bent[0], bent[1]
    size = grow * grow + turn * turn
    # slopes of the frame from those of the pattern, through the inverse of the similarity
    across = (grow * slopes[0] - turn * slopes[1]) / size
    down = (turn * slopes[0] + grow * slopes[1]) / size
    if is_round:
        return [across, down]
    x, y = at
    return [across, down, across * x + down * y, -across * y + down * x]


def _solve(
    columns: list[FloatArray], model: FloatArray, seen: FloatArray, weight: FloatArray, *, stiff: float
) -> _Solved:
    """Return the Gauss-Newton step, with gain and offset solved alongside."""
    root = np.sqrt(weight)
    total = weight.sum()
    mean_seen, mean_model = (weight @ seen) / total, (weight @ model) / total
    centred_seen, centred_model = seen - mean_seen, model - mean_model
    power = weight @ (centred_model**2)
    gain = (weight @ (centred_model * centred_seen)) / power
    left = centred_seen - gain * centred_model
    matrix = np.column_stack([*(gain * column for column in columns), centred_model, np.ones_like(model)])
    weighted = matrix * root[:, None]
    normal = weighted.T @ weighted
    for k in range(2, len(columns)):
        normal[k, k] += stiff * normal[k, k] / max(1.0, math.sqrt(total))
    normal += 1e-9 * np.diag(np.diag(normal) + 1e-12)
    inverse = np.linalg.inv(normal)
    found = inverse @ (weighted.T @ (left * root))
    after = left - matrix @ found
    freedom = max(1.0, total / _SHARED - matrix.shape[1])
    variance = float(weight @ after**2) / _SHARED / freedom
    spread = math.sqrt(power / total) * abs(gain) + 1e-12
    likeness = float(gain * power / math.sqrt(power * float(weight @ centred_seen**2) + 1e-12))
    return _Solved(
        step=-found[: len(columns)],
        covariance=inverse[:2, :2] * variance * _SHARED,
        likeness=likeness,
        misfit=math.sqrt(float(weight @ after**2) / total) / spread,
    )
