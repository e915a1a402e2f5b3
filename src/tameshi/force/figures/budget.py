"""Turn the figures of a contact into measured quantities: each with its budget.

Lines of the budget: calibration (or the ratings of each stage), linearity, hysteresis and
repeatability of the cell, noise, baseline, sampling, converter, dynamics, AC coupling, time base.
The baseline is one error in all figures of a strike, with the sign it has in each; calibration and
cell are one error in all strikes of a rig.
"""

from __future__ import annotations

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from tameshi.force.figures.doubts import (
    area_over_lines,
    kinks_at,
    off_between_readings,
    peak_doubt,
    peak_time_u,
    ringing_at,
)
from tameshi.force.figures.evidence import Evidence
from tameshi.force.shape.shape import RISE, Shape
from tameshi.quantity import Measured, Quantity, Source, rectangular_u
from tameshi.reference import row

FloatArray = NDArray[np.float64]

_ONE_SIDED = ("AC coupling", "clipping", "filter")
_TWICE_AVERAGED = 0.82  # rms of white noise averaged twice over that averaged once: sqrt(2/3)
_BETWEEN_TWO = 0.92  # of noise at a foot between two samples over that of one, where it need not be white
_AREA_FLOOR = 0.0001  # of the impulse: what tails in the noise hide
_AREA_OF_KINK = 1.1 * math.sqrt(1.0 / 720.0)  # of the sharper foot; bends do not show the whole of it
_RINGING_IN_AREA = 0.6  # of an unseen ringing's height, set off by a kink, in quadratic mean; by simulation
_LEFT_OF_RINGING = 0.15  # of what a cycle of ringing adds to an impulse: what no cycle shows, by simulation
_CHOSEN_TAILS = 1.15  # where tails end is chosen by the noise itself, which widens its part in the area
_FIRST_OF_SEVERAL = 0.2  # noise that crosses a level more than once is met too early: by simulation
# of what a corner lowered to 0.7 of itself does: the corner's own rounding, and what is left of its smear
_OF_MOVED_CORNER = {"N": 0.6, "N/s": 0.6, "N s": 0.45, "s": 0.45}
_AVERAGED_OVER_KINK = 0.3  # more noise where an average spans a kink: by simulation
_SAMPLES_FOR_RISE, _LEFT_OF_SHORT_RISE = 5.5, 0.033  # by simulation


def peak_force(evidence: Evidence) -> Quantity:
    """Return the peak force with its budget."""
    shape = evidence.shape
    parts = _converted(evidence, lambda term: float(term(np.array([shape.peak]))[0]))
    parts[evidence.own("noise", "peak")] = evidence.noise.of_sum(shape.peak_weights)
    parts[evidence.baseline] = -evidence.baseline_u
    parts[evidence.own("sampling", "peak")] = peak_doubt(evidence)
    parts[evidence.own("converter", "peak")] = _rounding(evidence, shape.peak_weights)
    parts[evidence.own("dynamics", "peak")] = rectangular_u(evidence.left * shape.peak)
    return _with_moved(evidence, Quantity(shape.peak, "N", parts), lambda moved: moved.peak)


def impulse(evidence: Evidence) -> Quantity:
    """Return the impulse over the whole contact with its budget."""
    shape = evidence.shape
    quantity = _impulse(evidence, "impulse", shape.impulse, shape.tail_stop, lambda moved: moved.impulse)
    if shape.rung == 0.0:
        return quantity
    # the weight that falls to nothing over a cycle counts half of it
    longer = 0.5 * (shape.ring_stop - shape.tail_stop) / evidence.rate
    quantity = quantity.with_part(evidence.baseline, -evidence.baseline_u * longer)
    left = rectangular_u(_LEFT_OF_RINGING * abs(shape.rung))
    return quantity.with_part(evidence.own("dynamics", "impulse: ringing"), left)


def impulse_to_peak(evidence: Evidence) -> Quantity:
    """Return the impulse from first contact to peak with its budget."""
    shape = evidence.shape
    stop = math.ceil(shape.peak_time * evidence.rate) + 1
    quantity = _impulse(
        evidence, "impulse to peak", shape.impulse_to_peak, stop, lambda moved: moved.impulse_to_peak
    )
    late = shape.peak * peak_time_u(evidence)
    return quantity.with_part(evidence.own("noise", "impulse to peak: time"), late)


def contact_duration(evidence: Evidence) -> Quantity:
    """Return the time from onset to end with its budget."""
    return _between(evidence, "duration", ("onset", "end"), lambda shape: shape.duration)


def rise_time(evidence: Evidence) -> Quantity:
    """Return the time from 10 % to 90 % of the peak with its budget."""
    quantity = _between(evidence, "rise", ("rise_start", "rise_end"), lambda shape: shape.rise_time)
    # between two samples any rise looks straight
    seen = evidence.shape.rise_time * evidence.rate
    lacking = _LEFT_OF_SHORT_RISE * max(0.0, _SAMPLES_FOR_RISE - seen) / evidence.rate
    return quantity.with_part(evidence.own("sampling", "rise: few samples"), lacking)


def time_to_peak(evidence: Evidence) -> Quantity:
    """Return the time from onset to peak with its budget."""
    quantity = _between(evidence, "time to peak", ("onset",), lambda shape: shape.peak_time - shape.onset)
    return quantity.with_part(evidence.own("noise", "time to peak: top"), peak_time_u(evidence))


def loading_rate(evidence: Evidence) -> Quantity:
    """Return the greatest slope on the way up, over the span the shape states."""
    shape = evidence.shape
    count = max(2.0, shape.slope_span * evidence.rate + 1.0)
    slope_noise = evidence.sigma * evidence.rate * math.sqrt(12.0 / count**3)
    gain = shape.slope / max(shape.peak, 1e-300)
    parts = _converted(evidence, lambda term: gain * float(term(np.array([shape.peak]))[0]))
    parts[evidence.own("noise", "slope")] = slope_noise
    parts[evidence.own("converter", "slope")] = rectangular_u(0.5 * evidence.step) / shape.slope_span
    parts[evidence.own("dynamics", "slope")] = rectangular_u(2.0 * evidence.left * shape.slope)
    quantity = Quantity(shape.slope, "N/s", parts)
    return _with_moved(evidence, quantity, lambda moved: moved.slope)


def mean_force(impulse_found: Measured, duration_found: Measured) -> Quantity | None:
    """Return impulse over contact duration, None where either is missing."""
    if isinstance(impulse_found, Quantity) and isinstance(duration_found, Quantity):
        return impulse_found / duration_found
    return None


def _impulse(
    evidence: Evidence, figure: str, value: float, stop: int, read: Callable[[Shape], float]
) -> Quantity:
    shape, rate = evidence.shape, evidence.rate
    window = evidence.force[shape.tail_start : stop]
    length = len(window) / rate
    parts = _converted(evidence, lambda term: float(np.sum(term(window))) / rate)
    parts[evidence.own("noise", figure)] = _CHOSEN_TAILS * evidence.noise.of_mean(len(window)) * length
    parts[evidence.baseline] = -evidence.baseline_u * length
    # where the slope changes by d at a place x between two samples, straight lines are off by
    # d (x (1 - x) / 2 - 1/12), in quadratic mean over x by d / sqrt 720
    kinks = _AREA_OF_KINK * shape.kinks * shape.sharpness.kinks / rate
    floor = max(_AREA_FLOOR, area_over_lines(evidence)) * abs(value)
    parts[evidence.own("sampling", figure)] = math.hypot(kinks, rectangular_u(floor))
    unseen = evidence.unseen
    height = _RINGING_IN_AREA * unseen.height * shape.sharpness.kinks
    ringing = height * min(unseen.adds_up, len(window)) / rate
    parts[evidence.own("dynamics", figure)] = ringing
    return _with_moved(evidence, _with_clock(evidence, Quantity(value, "N s", parts)), read)


def _between(
    evidence: Evidence, figure: str, levels: tuple[str, ...], read: Callable[[Shape], float]
) -> Quantity:
    """Return a time between level crossings with its budget."""
    shape = evidence.shape
    once = evidence.noise.of_mean(shape.crossing_width)
    noise = once if shape.crossing_width == 1 else _TWICE_AVERAGED * once
    peak_noise = evidence.noise.of_sum(shape.peak_weights)
    crossings = {
        "onset": (shape.onset_at, evidence.settings.onset_share),
        "end": (shape.end_at, evidence.settings.onset_share),
        "rise_start": (shape.rise_start_at, RISE[0]),
        "rise_end": (shape.rise_end_at, RISE[1]),
    }
    squares, doubts, baseline, of_peak, ringing = 0.0, 0.0, 0.0, 0.0, 0.0
    for level in levels:
        crossing, share = crossings[level]
        slope = crossing.slope * evidence.rate
        early = 1.0 + _FIRST_OF_SEVERAL * min(1.0, noise / crossing.slope)
        if shape.crossing_width > 1:
            early += _AVERAGED_OVER_KINK * kinks_at(evidence, level)
        elif level in ("onset", "end"):
            early *= _BETWEEN_TWO
        squares += (early * noise / slope) ** 2
        doubts += (crossing.doubt / evidence.rate) ** 2 + off_between_readings(evidence, level) ** 2
        ringing += (ringing_at(evidence, level) / slope) ** 2
        # a later start shortens, a level higher by a newton is met later on the way up
        sign = (-1.0 if level in ("onset", "rise_start") else 1.0) * (-1.0 if level == "end" else 1.0)
        baseline += sign * (1.0 - share) / slope * evidence.baseline_u
        of_peak += sign * share / slope
    parts = {
        evidence.own("noise", figure): math.hypot(math.sqrt(squares), of_peak * peak_noise),
        evidence.baseline: baseline,
        evidence.own("dynamics", figure): math.sqrt(ringing),
        evidence.own("sampling", figure): math.hypot(math.sqrt(doubts), of_peak * peak_doubt(evidence)),
    }
    quantity = _with_clock(evidence, Quantity(read(shape), "s", parts))
    return _with_moved(evidence, quantity, read)


def _rounding(evidence: Evidence, weights: FloatArray) -> float:
    """Return what rounding to steps of the converter puts into a weighted mean. [N]"""
    once = rectangular_u(0.5 * evidence.step)
    # noise of half a step makes the rounding of each sample its own
    return once * (float(np.linalg.norm(weights)) if evidence.sigma > 0.5 * evidence.step else 1.0)


def _converted(
    evidence: Evidence, pull: Callable[[Callable[[FloatArray], FloatArray]], float]
) -> dict[Source, float]:
    """Return the parts that the conversion to newtons puts into a figure."""
    parts: dict[Source, float] = {}
    for term in evidence.conversion.errors:
        source = term.source
        if term.each_strike:
            source = Source(f"{source.key}:{evidence.key}", source.name, source.dof, source.group)
        parts[source] = pull(term.at)
    return parts


def _with_clock(evidence: Evidence, quantity: Quantity) -> Quantity:
    share = rectangular_u(row("chain_defaults", "time-base")["half_width"])
    clock = Source(f"{evidence.chain}:time-base", "time base")
    return quantity.with_part(clock, share * quantity.value)


def _with_moved(evidence: Evidence, quantity: Quantity, read: Callable[[Shape], float]) -> Quantity:
    """Return a quantity with a part for each input that was moved to see what it does."""
    for name, moved in evidence.moved:
        if name in _ONE_SIDED:
            return _one_sided(evidence, quantity, name, read(moved))
        line, _, shared = name.partition("@")
        key = f"{shared}:{line}" if shared else f"{evidence.key}:{name}:{quantity.unit}"
        source = Source(key, "dynamics")
        share = _OF_MOVED_CORNER[quantity.unit] if line == "corner" else 1.0
        quantity = quantity.with_part(source, share * (read(moved) - read(evidence.shape)))
    return quantity


def _one_sided(evidence: Evidence, quantity: Quantity, line: str, other: float) -> Quantity:
    """Return a quantity that a fault has moved one way, by no more than to an extreme found for it."""
    low, high = sorted((quantity.value, other))
    spread = quantity.expanded()
    source = Source(f"{evidence.key}:{line}:{quantity.unit}", line)
    widened = quantity.with_part(source, rectangular_u(0.5 * (other - quantity.value)))
    return widened.with_interval(low - spread, high + spread)
