"""Mean pressure over the contact while a strike goes on.

A print is the union of what touched at any time, so its area belongs to the peak. Before and after, the
contact is smaller: with A = c F^n the mean pressure is p_peak (F / F_peak)^(1 - n). Where no law was measured
the simple laws bound it: a rigid flat from below (the area is there at once), a sphere from above.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from fractions import Fraction

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError
from tameshi.pressure.area_law import AreaLaw
from tameshi.pressure.pulse import FloatArray, Pulse
from tameshi.quantity import Quantity, Source, coverage_factor
from tameshi.reference import row, table

_STEP = 1e-4  # of the exponent, for its derivatives
_NO_LAW = "how the contact area of this technique grows with force has not been measured"
_STEEP = "the prints leave open whether the pressure falls with the force at all"


@dataclass(frozen=True, slots=True)
class Range:
    """What a figure lies between when only bounds can be given.

    Parameters
    ----------
    low, high : float
        With 95 % uncertainty of what goes into them.
    unit : str
        Coherent SI unit.
    why : str
        Why there is no more than that.
    """

    low: float
    high: float
    unit: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """Mean pressure over the contact, from onset to end.

    Parameters
    ----------
    time : (n,) array
        From the onset. [s]
    pressure : (n,) array or None
        By the technique's own law of area; None without one. [Pa]
    low, high : (n,) array
        95 % bounds at each moment; without a law those of the simple laws, stretched by the uncertainty
        of the peak. [Pa]
    is_within : (n,) array of bool
        Whether the force is one the law was fitted to; all false without one.
    half_duration : Quantity or Range
        How long the pressure stays above half its peak. [s]
    pressure_impulse : Quantity or Range
        Integral of the mean pressure over the contact. [Pa s]
    exponent : Quantity or None
        n of the law.
    """

    time: FloatArray
    pressure: FloatArray | None
    low: FloatArray
    high: FloatArray
    is_within: NDArray[np.bool_]
    half_duration: Quantity | Range
    pressure_impulse: Quantity | Range
    exponent: Quantity | None


def pressure_course(pulse: Pulse, mean_pressure: Quantity, law: AreaLaw | None = None) -> Course:
    """Return the mean pressure over a contact as it goes on.

    Parameters
    ----------
    pulse : Pulse
    mean_pressure : Quantity
        At the peak. [Pa]
    law : AreaLaw or None
        How contact area grows with force for this technique on this pad.

    Raises
    ------
    UnmeasurableError
        ``no-curve`` where the pulse has fewer than three samples.

    Notes
    -----
    Loading and unloading follow one law: what tissue keeps of its shape while the force falls is not seen
    by a print. Laws: K. L. Johnson, Contact Mechanics (1985), chapters 3 and 4 (page from memory).
    """
    if len(pulse.time) < 3:  # noqa: PLR2004  a rise and a fall
        raise UnmeasurableError(
            "no-curve", "The contact has too few samples for a course.", hint="Record at a higher rate."
        )
    share = np.clip(pulse.force / pulse.peak.value, 0.0, None)
    if law is None:
        return _bounded(pulse, share, mean_pressure, _NO_LAW)
    if law.exponent.high >= 1.0:
        return _bounded(pulse, share, mean_pressure, _STEEP)
    return _by_law(pulse, share, mean_pressure, law)


def _by_law(pulse: Pulse, share: FloatArray, peak: Quantity, law: AreaLaw) -> Course:
    exponent = law.exponent
    logarithm = np.log(np.maximum(share, 1e-12))
    pressure = peak.value * share ** (1.0 - exponent.value)
    relative = _relative_u(peak, exponent, logarithm)
    noise = (1.0 - exponent.value) * pulse.noise / (pulse.peak.value * np.maximum(share, 1e-12))
    k = coverage_factor(min(peak.dof, exponent.dof))
    wide = k * np.hypot(relative, noise)
    least, greatest = law.forces
    force = pulse.force
    return Course(
        time=pulse.time,
        pressure=pressure,
        low=pressure * np.exp(-wide),
        high=pressure * np.exp(np.minimum(wide, 50.0)),
        is_within=(force >= least) & (force <= greatest),
        half_duration=_half_duration(pulse, share, exponent),
        pressure_impulse=_impulse(pulse, share, peak, exponent),
        exponent=exponent,
    )


def _bounded(pulse: Pulse, share: FloatArray, peak: Quantity, why: str) -> Course:
    flat, round_one = _simple_exponents()
    least, most = share ** (1.0 - flat), share ** (1.0 - round_one)
    half = float(row("pressure_limits", "half")["limit"])
    spans = [_time_above(pulse.time, share, half ** (1.0 / (1.0 - n))) for n in (flat, round_one)]
    noise = _span_noise(pulse, share, half)
    areas = [float(np.trapezoid(one, pulse.time)) for one in (least, most)]
    return Course(
        time=pulse.time,
        pressure=None,
        low=peak.low * least,
        high=peak.high * most,
        is_within=np.zeros(len(share), bool),
        half_duration=Range(max(0.0, spans[0] - 2.0 * noise), spans[1] + 2.0 * noise, "s", why),
        pressure_impulse=Range(peak.low * areas[0], peak.high * areas[1], "Pa s", why),
        exponent=None,
    )


def _simple_exponents() -> tuple[float, float]:
    exponents = [float(Fraction(one["exponent"])) for one in table("area_laws").rows.values()]
    return min(exponents), max(exponents)


def _relative_u(peak: Quantity, exponent: Quantity, logarithm: FloatArray) -> FloatArray:
    """Return the relative standard uncertainty of p_peak share^(1 - n) from p_peak and n, sources shared."""
    sources = {**peak.parts, **exponent.parts}
    square = np.zeros_like(logarithm)
    for source in sources:
        own = peak.parts.get(source, 0.0) / peak.value
        square += (own - logarithm * exponent.parts.get(source, 0.0)) ** 2
    return np.asarray(np.sqrt(square))


def _half_duration(pulse: Pulse, share: FloatArray, exponent: Quantity) -> Quantity:
    half = float(row("pressure_limits", "half")["limit"])

    def span(n: float) -> float:
        return _time_above(pulse.time, share, half ** (1.0 / (1.0 - n)))

    n = exponent.value
    slope = (span(n + _STEP) - span(n - _STEP)) / (2.0 * _STEP)
    parts = {source: slope * part for source, part in exponent.parts.items()}
    step = float(np.median(np.diff(pulse.time)))
    noise = _span_noise(pulse, share, half ** (1.0 / (1.0 - n)))
    by_reading = Source(f"half-duration:{pulse.key}", "noise")
    by_sampling = Source(f"half-duration-sampling:{pulse.key}", "sampling")
    sampled = math.sqrt(2.0) * step / math.sqrt(12.0)
    return Quantity(span(n), "s", {**parts, by_reading: noise, by_sampling: sampled})


def _impulse(pulse: Pulse, share: FloatArray, peak: Quantity, exponent: Quantity) -> Quantity:
    def whole(n: float) -> float:
        return float(np.trapezoid(share ** (1.0 - n), pulse.time))

    n = exponent.value
    unit = whole(n)
    slope = peak.value * (whole(n + _STEP) - whole(n - _STEP)) / (2.0 * _STEP)
    parts = {source: unit * part for source, part in peak.parts.items()}
    for source, part in exponent.parts.items():
        parts[source] = parts.get(source, 0.0) + slope * part
    return Quantity(peak.value * unit, "Pa s", parts)


def _time_above(time: FloatArray, share: FloatArray, level: float) -> float:
    """Return how long the pulse round its peak stays above a level, crossings between samples."""
    top = int(np.argmax(share))
    before = np.flatnonzero(share[:top] < level)
    after = np.flatnonzero(share[top:] < level)
    start = _crossing(time, share, before[-1], level) if len(before) else float(time[0])
    stop = _crossing(time, share, top + after[0] - 1, level) if len(after) else float(time[-1])
    return stop - start


def _crossing(time: FloatArray, share: FloatArray, index: int, level: float) -> float:
    one, other = share[index], share[index + 1]
    along = 0.5 if one == other else (level - one) / (other - one)
    return float(time[index] + along * (time[index + 1] - time[index]))


def _span_noise(pulse: Pulse, share: FloatArray, level: float) -> float:
    """Return what noise does to the time above a level: that of a sample over the slope, twice."""
    slope = np.abs(np.gradient(share, pulse.time))
    near = np.argsort(np.abs(share - level))[:4]
    steep = float(np.median(slope[near]))
    duration = float(pulse.time[-1] - pulse.time[0])
    return min(duration, math.sqrt(2.0) * pulse.noise / pulse.peak.value / max(steep, 1e-12))
