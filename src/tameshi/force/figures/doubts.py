"""What samples and a ringing that is not seen leave in doubt: shares found by simulation."""

from __future__ import annotations

import math

from tameshi.force.figures.evidence import Evidence
from tameshi.force.shape.sharpness import kink_share
from tameshi.quantity import rectangular_u
from tameshi.rig import worst_under_read

_FITTED_SHARE = 0.18  # of the worst under-read that fitting a curve to the top leaves
_FIT_FLOOR = 0.0002  # of the peak: a top is no parabola
# of an unseen ringing's height, where a level is crossed: by any pulse, and what a kink adds
_RINGING_AT_ONSET, _RINGING_IN_RISE = (0.1, 0.1), (0.1, 0.25)
_RINGING_AT_END = 0.33  # of what is left of it then
_PLACE_FLOOR = 0.05  # of a sample: when the top was
_LOPSIDED_PLACE = 3.5  # samples, over those of the contact, by how lopsided it is: the same; by simulation
# how far straight lines over steps between uneven readings put a level or a top from its place, in steps
_OFF_AT_A_FOOT, _OFF_ON_A_FLANK, _OFF_AT_THE_TOP = 0.5, 0.15, 0.25


def ringing_at(evidence: Evidence, level: str) -> float:
    """Return how high a ringing that is not seen may stand where a level is crossed. [N]"""
    unseen, shape = evidence.unseen, evidence.shape
    if level == "end":
        return _RINGING_AT_END * unseen.height * math.exp(-unseen.fading * shape.duration)
    smooth, by_kink = _RINGING_AT_ONSET if level == "onset" else _RINGING_IN_RISE
    return (smooth + by_kink * kinks_at(evidence, "onset")) * unseen.height


def kinks_at(evidence: Evidence, level: str) -> float:
    """Return how much of a kink the foot next to a level is, none where the level is far up a flank."""
    sharpness = {"onset": evidence.shape.sharpness.onset, "end": evidence.shape.sharpness.end}
    return kink_share(sharpness[level]) if level in sharpness else 0.0


def peak_doubt(evidence: Evidence) -> float:
    """Return the standard uncertainty of the peak that comes of seeing samples only. [N]"""
    shape, under_read = evidence.shape, worst_under_read(samples_round_top(evidence))
    seen = 1.0 if evidence.spacing else _FITTED_SHARE
    floor = (seen * under_read + _FIT_FLOOR) * shape.peak
    return rectangular_u(max(shape.peak_doubt, floor))


def peak_time_u(evidence: Evidence) -> float:
    """Return the standard uncertainty of when the top was. [s]"""
    shape = evidence.shape
    seen = samples_round_top(evidence)
    lopsided = 1.0 - seen / max(seen, shape.duration * evidence.rate)
    place = _PLACE_FLOOR + _LOPSIDED_PLACE * lopsided / max(seen, 2.0)
    floor = max(place / evidence.rate, _OFF_AT_THE_TOP * evidence.spacing)
    sampling = rectangular_u(max(shape.peak_time_doubt, floor))
    noise = evidence.noise.of_sum(shape.peak_time_weights)
    return math.hypot(min(noise, 0.25 * shape.duration), sampling)


def samples_round_top(evidence: Evidence) -> float:
    """Return how many samples a symmetric contact would have whose flanks were as short as the shorter."""
    shape = evidence.shape
    flank = min(shape.peak_time - shape.onset, shape.end - shape.peak_time)
    return max(2.0, 2.0 * flank / max(1.0 / evidence.rate, evidence.spacing))


def area_over_lines(evidence: Evidence) -> float:
    """Return by what share of the impulse straight lines between uneven readings are off at most.

    A half-sine of duration D under lines over steps w loses (pi w / D)**2 / 12 of its area. Derived.
    """
    duration = max(evidence.shape.duration, 1.0 / evidence.rate)
    return (math.pi * evidence.spacing / duration) ** 2 / 12.0


def off_between_readings(evidence: Evidence, level: str) -> float:
    """Return the standard uncertainty of a crossing that uneven readings leave. [s]"""
    off = _OFF_AT_A_FOOT if level in ("onset", "end") else _OFF_ON_A_FLANK
    return rectangular_u(off * evidence.spacing)
