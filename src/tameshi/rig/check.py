"""Can this rig measure such a strike? Each limit on its own line, with what would cure it.

A half-sine stands for the strike. Every limit is put into figures that can be compared: what it does
to the peak, or how much of a range the strike uses.
"""

from __future__ import annotations

import math
from collections.abc import Callable
from dataclasses import dataclass
from typing import Literal

from tameshi.quantity import parse_quantity, rectangular_u
from tameshi.reference import row
from tameshi.rig.dynamics import peak_ratio
from tameshi.rig.model import Rig
from tameshi.rig.sampling import worst_under_read

Verdict = Literal["met", "tight", "not met"]
_WORST: tuple[Verdict, ...] = ("met", "tight", "not met")
_RISE_OF_HALF_SINE = 0.324549
_LOW_PASS_RISE = 0.35  # rise time times bandwidth of a low-pass, 10-90 %


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of a rig for one expected strike.

    Parameters
    ----------
    name : str
    verdict : "met", "tight" or "not met"
    finding : str
        What was found, with its figures.
    peak_error : float or None
        What it may do to the peak, as a share; None where it is no matter of degree.
    remedy : str
        What would cure it; empty where nothing need be.
    """

    name: str
    verdict: Verdict
    finding: str
    peak_error: float | None = None
    remedy: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class ExpectedStrike:
    """The strike that a rig is checked for.

    Parameters
    ----------
    peak : float
        [N]
    duration : float
        Contact duration. [s]
    rise : float
        10-90 % rise time. [s]
    """

    peak: float
    duration: float
    rise: float


@dataclass(frozen=True, slots=True, kw_only=True)
class RigCheck:
    """What a rig can do for an expected strike.

    Parameters
    ----------
    rig : str
        Its name.
    strike : ExpectedStrike
    verdict : "met", "tight" or "not met"
        The worst of the limits.
    limits : tuple of Limit
    """

    rig: str
    strike: ExpectedStrike
    verdict: Verdict
    limits: tuple[Limit, ...]


def expected_strike(peak: str, duration: str, rise: str | None = None) -> ExpectedStrike:
    """Return the strike a person typed: ``"3 kN"``, ``"8 ms"`` and, if known, its rise.

    Raises
    ------
    UnitError
        If a quantity has no unit or one of another kind.
    """
    length = parse_quantity(duration, "time")
    climb = _RISE_OF_HALF_SINE * length if rise is None else parse_quantity(rise, "time")
    return ExpectedStrike(peak=abs(parse_quantity(peak, "force")), duration=abs(length), rise=abs(climb))


def check_rig(rig: Rig, strike: ExpectedStrike) -> RigCheck:
    """Return every limit of a rig for an expected strike.

    Parameters
    ----------
    rig : Rig
    strike : ExpectedStrike
    """
    tests: tuple[Callable[[Rig, ExpectedStrike], Limit], ...] = (
        _capacity,
        _span,
        _step,
        _sampling,
        _low_pass,
        _natural_frequency,
        _calibration,
        _pad,
    )
    limits = tuple(test(rig, strike) for test in tests)
    worst = max((limit.verdict for limit in limits), key=_WORST.index)
    return RigCheck(rig=rig.name, strike=strike, verdict=worst, limits=limits)


def _graded(value: float, tight: float, failing: float) -> Verdict:
    """Return the verdict on a figure that is better the smaller it is."""
    if value > failing:
        return "not met"
    return "tight" if value > tight else "met"


def _bound(key: str, name: str) -> float:
    return float(row("rig_limits", key)[name])


def _capacity(rig: Rig, strike: ExpectedStrike) -> Limit:
    used = strike.peak / rig.cell.capacity
    verdict = _graded(used, _bound("capacity", "tight"), _bound("capacity", "failing"))
    need = strike.peak / _bound("capacity", "tight")
    return Limit(
        name="cell capacity",
        verdict=verdict,
        finding=f"The peak uses {used:.0%} of the cell's {rig.cell.capacity:.0f} N.",
        remedy=""
        if verdict == "met"
        else f"Use a cell of {need:.0f} N or more; a strike may overshoot its plan.",
    )


def _span(rig: Rig, strike: ExpectedStrike) -> Limit:
    volts = strike.peak * rig.rated_sensitivity
    room = rig.converter.span[1] if volts > 0.0 else rig.converter.span[0]
    used = volts / room if room * volts > 0.0 else math.inf
    verdict = _graded(used, _bound("span", "tight"), _bound("span", "failing"))
    gain = rig.amplifier.gain * _bound("span", "tight") / used if math.isfinite(used) else 0.0
    return Limit(
        name="converter range",
        verdict=verdict,
        finding=f"The peak reaches {volts:.3g} V of the converter's {room:g} V.",
        remedy=""
        if verdict == "met"
        else f"Lower the amplifier's gain to about {gain:.0f}, or the top is cut off.",
    )


def _step(rig: Rig, strike: ExpectedStrike) -> Limit:
    newtons = rig.converter.step / abs(rig.rated_sensitivity)
    share = rectangular_u(0.5 * newtons) / strike.peak
    verdict = _graded(share, _bound("step", "tight"), _bound("step", "failing"))
    return Limit(
        name="converter step",
        verdict=verdict,
        finding=f"One step of the {rig.converter.bits}-bit converter is {newtons:.3g} N.",
        peak_error=share,
        remedy="" if verdict == "met" else "Raise the gain, narrow the converter's span, or use more bits.",
    )


def _sampling(rig: Rig, strike: ExpectedStrike) -> Limit:
    samples = rig.converter.rate * strike.duration
    on_the_rise = rig.converter.rate * strike.rise
    error = worst_under_read(samples)
    verdict = _graded(error, _bound("sampling", "tight"), _bound("sampling", "failing"))
    need = _bound("sampling", "samples") / strike.duration
    return Limit(
        name="sampling",
        verdict=verdict,
        finding=f"{samples:.0f} samples in the contact, {on_the_rise:.0f} on its rise; "
        f"between two of them the peak may hide {error:.2%}.",
        peak_error=error,
        remedy="" if verdict == "met" else f"Sample at {need:.0f} Hz or more.",
    )


def _low_pass(rig: Rig, strike: ExpectedStrike) -> Limit:
    corner = rig.amplifier.low_pass
    if corner is None:
        return Limit(
            name="anti-alias filter",
            verdict="tight",
            finding="No low-pass is given: ringing and interference above half the rate fold back unseen.",
            remedy=f"Put a low-pass of {0.2 * rig.converter.rate:.0f} Hz or less before the converter.",
        )
    slowed = math.hypot(strike.rise, _LOW_PASS_RISE / corner) / strike.rise - 1.0
    verdict = _graded(slowed, _bound("low-pass", "tight"), _bound("low-pass", "failing"))
    remedy = "" if verdict == "met" else f"Raise its corner to {2.0 / strike.rise:.0f} Hz or more."
    if corner > 0.5 * rig.converter.rate:
        verdict = max(verdict, "tight", key=_WORST.index)
        remedy = f"Lower its corner below half the rate, {0.5 * rig.converter.rate:.0f} Hz."
    return Limit(
        name="anti-alias filter",
        verdict=verdict,
        finding=f"The low-pass of {corner:.0f} Hz lengthens the rise by {slowed:.1%}.",
        remedy=remedy,
    )


def _natural_frequency(rig: Rig, strike: ExpectedStrike) -> Limit:
    natural = rig.cell.natural_frequency
    if natural is None:
        return Limit(
            name="natural frequency",
            verdict="tight",
            finding="The mounted natural frequency is not known, nor what ringing does to the peak.",
            remedy="Tap the plate, record it, and enter natural_frequency and damping_ratio.",
        )
    cycles = natural * strike.duration
    error = abs(peak_ratio(cycles, rig.cell.damping_ratio or 0.0) - 1.0)
    verdict = _graded(1.0 / cycles, 1.0 / _bound("cycles", "tight"), 1.0 / _bound("cycles", "failing"))
    return Limit(
        name="natural frequency",
        verdict=verdict,
        finding=f"The cell swings {cycles:.1f} times during the contact; uncorrected, a half-sine's peak is "
        f"off by {error:.1%}.",
        peak_error=error,
        remedy=""
        if verdict == "met"
        else "Lighten the plate or stiffen the mount; the peak gets corrected, the impulse is surer.",
    )


def _calibration(rig: Rig, strike: ExpectedStrike) -> Limit:
    fitted = rig.calibration
    if fitted is None:
        return Limit(
            name="calibration",
            verdict="tight",
            finding="There is none: newtons follow from the ratings.",
            remedy="Load the plate with known weights and run `tameshi rig calibrate`.",
        )
    beyond = strike.peak / fitted.greatest
    verdict = _graded(beyond, 1.0, _bound("calibration", "failing"))
    return Limit(
        name="calibration",
        verdict=verdict,
        finding=f"Known loads reach {fitted.greatest:.0f} N, {fitted.greatest / strike.peak:.0%} of it.",
        remedy=""
        if verdict == "met"
        else "Calibrate up to the peak; beyond the greatest load it is extrapolation.",
    )


def _pad(rig: Rig, strike: ExpectedStrike) -> Limit:  # noqa: ARG001  every limit is asked alike
    pad = rig.plate.pad
    if pad == "none":
        return Limit(
            name="pad",
            verdict="met",
            finding="The plate is bare: hard on the striker, who will hold back.",
            remedy="Start lightly, stop at pain. A pad changes the peak; say which in the rig file.",
        )
    return Limit(
        name="pad",
        verdict="met",
        finding=f"The pad is {pad}; peaks through another pad cannot be set beside these, impulses can.",
    )
