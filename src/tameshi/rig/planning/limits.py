"""Each limit of a rig for an expected strike: what it does to peak, rise and impulse, and what cures it.

Effects are found by following the strike through the chain (:mod:`tameshi.rig.planning.reading`), one
limit at a time. Verdicts are drawn where the reference table ``rig_limits`` says.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Literal

import numpy as np

from tameshi.quantity import rectangular_u
from tameshi.reference import row
from tameshi.rig.conversion import Conversion, conversion_of_rig
from tameshi.rig.model import BARE, Rig
from tameshi.rig.planning.expected import ExpectedStrike
from tameshi.rig.planning.reading import (
    Effect,
    Seen,
    effect_of_noise,
    effect_of_sampling,
    effect_of_zero,
    effect_on,
    read_strike,
)

Verdict = Literal["met", "tight", "not met"]
WORST: tuple[Verdict, ...] = ("met", "tight", "not met")
_MEAN_OF_HALF_SINE = 2.0 / math.pi
_BELOW_RATE = 0.2  # of the rate: corner that a low-pass before the converter should have


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """One limit of a rig for one expected strike.

    Parameters
    ----------
    name : str
    verdict : "met", "tight" or "not met"
    finding : str
        What was found, with its figures.
    effect : Effect or None
        What it does to peak, rise and impulse; None where that is not known or no matter of degree.
    remedy : str
        What would cure it; empty where nothing need be.
    """

    name: str
    verdict: Verdict
    finding: str
    effect: Effect | None = None
    remedy: str = ""

    @property
    def peak_error(self) -> float | None:
        """What it may do to the peak, as a share."""
        return None if self.effect is None else self.effect.peak

    @property
    def rise_error(self) -> float | None:
        """What it may do to the rise time, as a share."""
        return None if self.effect is None else self.effect.rise

    @property
    def impulse_error(self) -> float | None:
        """What it may do to the impulse, as a share."""
        return None if self.effect is None else self.effect.impulse


@dataclass(frozen=True, slots=True, eq=False)
class Case:
    """One rig, one strike, and what every limit asks of both.

    Parameters
    ----------
    rig : Rig
    strike : ExpectedStrike
    conversion : Conversion
        The rig's, from volts to newtons.
    noise : float or None
        Standard deviation of a sample. [N]
    true : Seen
        The strike itself.
    raw : Seen
        What the chain gives before its converter, not cut off anywhere.
    room : float
        Force at which the converter's range ends. [N]
    """

    rig: Rig
    strike: ExpectedStrike
    conversion: Conversion
    noise: float | None
    true: Seen
    raw: Seen
    room: float


def case_of(rig: Rig, strike: ExpectedStrike, noise: float | None) -> Case:
    """Return what the limits ask of a rig and a strike; noise in volts, that of the rig file where None."""
    conversion = conversion_of_rig(rig)
    sensitivity = conversion.sensitivity
    volts = noise if noise is not None else rig.converter.noise
    zero = rig.calibration.coefficients[0] if rig.calibration else 0.0
    end = rig.converter.span[1] if sensitivity > 0.0 else rig.converter.span[0]
    return Case(
        rig=rig,
        strike=strike,
        conversion=conversion,
        noise=None if volts is None else volts / abs(sensitivity),
        true=read_strike(strike),
        raw=read_strike(strike, cell=cell_of(rig), low_pass=rig.amplifier.low_pass),
        room=max(0.0, (end - zero) / sensitivity),
    )


def cell_of(rig: Rig) -> tuple[float, float] | None:
    """Return natural frequency [Hz] and damping ratio of a rig's cell, None where not known."""
    natural = rig.cell.natural_frequency
    return None if natural is None else (natural, rig.cell.damping_ratio or 0.0)


def capacity(case: Case) -> Limit:
    """Return how much of the cell's capacity the strike uses, overshoot included."""
    rated, peak = case.rig.cell.capacity, case.strike.peak
    reached = float(read_strike(case.strike, cell=cell_of(case.rig)).reading.max())
    verdict = _graded(max(peak, reached) / rated, "capacity")
    need = max(peak, reached) / _bound("capacity", "tight")
    return Limit(
        name="cell capacity",
        verdict=verdict,
        finding=f"The peak uses {peak / rated:.0%} of the cell's {rated:.0f} N; with its own overshoot "
        f"{reached / rated:.0%}.",
        effect=_cut_off(case, rated),
        remedy=_unless_met(verdict, f"Use a cell of {need:.0f} N or more; a strike may overshoot its plan."),
    )


def span(case: Case) -> Limit:
    """Return how much of the converter's range the reading uses."""
    reached, room = float(case.raw.reading.max()), case.room
    used = reached / room if room > 0.0 else math.inf
    verdict = _graded(used, "span")
    gain = case.rig.amplifier.gain * _bound("span", "tight") / used if math.isfinite(used) else 0.0
    return Limit(
        name="converter range",
        verdict=verdict,
        finding=f"The reading reaches {reached:.0f} N; the converter's range ends at {room:.0f} N.",
        effect=_cut_off(case, room),
        remedy=_unless_met(
            verdict, f"Lower the amplifier's gain to about {gain:.0f}, or the top is cut off."
        ),
    )


def step(case: Case) -> Limit:
    """Return what one step of the converter hides."""
    newtons = case.rig.converter.step / abs(case.conversion.sensitivity)
    rounded = rectangular_u(0.5 * newtons)
    # without noise the zero is rounded to a whole step; noise lets a mean tell parts of one
    steps_of_noise = 0.0 if case.noise is None else case.noise / newtons
    zero = rounded * math.exp(-2.0 * (math.pi * steps_of_noise) ** 2)
    effect = _together(
        _of_noise(case, rounded), effect_of_zero(case.true, zero, duration=case.strike.duration)
    )
    verdict = _graded(effect.peak, "step")
    return Limit(
        name="converter step",
        verdict=verdict,
        finding=f"One step of the {case.rig.converter.bits}-bit converter is {newtons:.3g} N.",
        effect=effect,
        remedy=_unless_met(verdict, "Raise the gain, narrow the converter's span, or use more bits."),
    )


def sampling(case: Case) -> Limit:
    """Return what happens between two samples."""
    rate, strike = case.rig.converter.rate, case.strike
    effect = effect_of_sampling(case.true, rate=rate, duration=strike.duration)
    verdict = _graded(effect.peak, "sampling")
    need = _bound("sampling", "samples") / strike.duration
    return Limit(
        name="sampling",
        verdict=verdict,
        finding=f"{rate * strike.duration:.0f} samples in the contact, {rate * strike.rise:.0f} on its rise; "
        f"between two of them the peak may hide {effect.peak:.2%}.",
        effect=effect,
        remedy=_unless_met(verdict, f"Sample at {need:.0f} Hz or more."),
    )


def low_pass(case: Case) -> Limit:
    """Return what the low-pass before the converter does."""
    corner, rate = case.rig.amplifier.low_pass, case.rig.converter.rate
    name = "anti-alias filter"
    if corner is None:
        return Limit(
            name=name,
            verdict="tight",
            finding="No low-pass is given: ringing and interference above half the rate fold back unseen.",
            remedy=f"Put a low-pass of {_BELOW_RATE * rate:.0f} Hz or less before the converter.",
        )
    effect = effect_on(read_strike(case.strike, low_pass=corner), duration=case.strike.duration)
    verdict = worse(_graded(abs(effect.rise), "low-pass"), _graded(abs(effect.peak), "peak"))
    remedy = _unless_met(verdict, f"Raise its corner to {2.0 / case.strike.rise:.0f} Hz or more.")
    if corner > 0.5 * rate:
        verdict = worse(verdict, "tight")
        remedy = f"Lower its corner below half the rate, {0.5 * rate:.0f} Hz."
    return Limit(
        name=name,
        verdict=verdict,
        finding=f"The low-pass of {corner:.0f} Hz changes the rise by {effect.rise:+.1%}.",
        effect=effect,
        remedy=remedy,
    )


def natural_frequency(case: Case) -> Limit:
    """Return what the mounted cell does by swinging."""
    cell = cell_of(case.rig)
    name = "natural frequency"
    if cell is None:
        return Limit(
            name=name,
            verdict="tight",
            finding="The mounted natural frequency is not known, nor what ringing does to the peak.",
            remedy="Tap the plate, record it, run `tameshi rig tap`, and enter what it prints.",
        )
    cycles = cell[0] * case.strike.duration
    effect = effect_on(read_strike(case.strike, cell=cell), duration=case.strike.duration)
    verdict = _graded_up(cycles, "cycles")
    return Limit(
        name=name,
        verdict=verdict,
        finding=f"The cell swings {cycles:.1f} times during the contact; uncorrected, the peak reads "
        f"{effect.peak:+.1%}.",
        effect=effect,
        remedy=_unless_met(
            verdict, "Lighten the plate or stiffen the mount; the peak gets corrected, the impulse is surer."
        ),
    )


def noise(case: Case) -> Limit:
    """Return what the chain's noise does."""
    if case.noise is None:
        return Limit(
            name="noise",
            verdict="tight",
            finding="The noise of the chain is not known.",
            remedy="Record a few quiet seconds and give them with --quiet, or enter [converter] noise.",
        )
    effect = _of_noise(case, case.noise)
    verdict = _graded(effect.peak, "noise")
    return Limit(
        name="noise",
        verdict=verdict,
        finding=f"A sample's standard deviation is {case.noise:.3g} N, {effect.peak:.2%} of the peak.",
        effect=effect,
        remedy=_unless_met(verdict, "Screen and shorten the cable, raise the gain, or use a smaller cell."),
    )


def calibration(case: Case) -> Limit:
    """Return how well newtons are known at such a strike."""
    fitted, peak = case.rig.calibration, case.strike.peak
    effect = Effect(
        peak=_scale_u(case, peak),
        rise=0.0,
        impulse=_scale_u(case, _MEAN_OF_HALF_SINE * peak),
        either_way=True,
    )
    if fitted is None:
        return Limit(
            name="calibration",
            verdict="tight",
            finding="There is none: newtons follow from the ratings.",
            effect=effect,
            remedy="Load the plate with known weights and run `tameshi rig calibrate`.",
        )
    verdict = _graded_at(peak / fitted.greatest, 1.0, _bound("calibration", "failing"))
    return Limit(
        name="calibration",
        verdict=verdict,
        finding=f"Known loads reach {fitted.greatest:.0f} N, {fitted.greatest / peak:.0%} of the peak.",
        effect=effect,
        remedy=_unless_met(
            verdict, "Calibrate up to the peak; beyond the greatest load it is extrapolation."
        ),
    )


def pad(case: Case) -> Limit:
    """Return what the pad means for comparing."""
    material = case.rig.plate.pad
    if material is None:
        return Limit(
            name="pad",
            verdict="tight",
            finding="The rig file does not say what lies on the plate: its peaks stand beside no others.",
            remedy='Put [plate] pad = "none" into the rig file, or the material and its thickness.',
        )
    if material == BARE:
        return Limit(
            name="pad",
            verdict="met",
            finding="The plate is bare: hard on the striker, who will hold back.",
            remedy="Start lightly, stop at pain. A pad changes the peak; say which in the rig file.",
        )
    return Limit(
        name="pad",
        verdict="met",
        finding=f"The pad is {material}; peaks through another pad cannot be set beside these, impulses can.",
    )


LIMITS = (capacity, span, step, sampling, low_pass, natural_frequency, noise, calibration, pad)
"""Every limit, in the order they are told."""


def worse(one: Verdict, other: Verdict) -> Verdict:
    """Return the worse of two verdicts."""
    return max(one, other, key=WORST.index)


def _graded(value: float, key: str) -> Verdict:
    """Return the verdict on a figure that is better the smaller it is."""
    return _graded_at(value, _bound(key, "tight"), _bound(key, "failing"))


def _graded_up(value: float, key: str) -> Verdict:
    """Return the verdict on a figure that is better the greater it is."""
    return _graded_at(1.0 / value, 1.0 / _bound(key, "tight"), 1.0 / _bound(key, "failing"))


def _graded_at(value: float, tight: float, failing: float) -> Verdict:
    if value > failing:
        return "not met"
    return "tight" if value > tight else "met"


def _bound(key: str, name: str) -> float:
    return float(row("rig_limits", key)[name])


def _unless_met(verdict: Verdict, remedy: str) -> str:
    return "" if verdict == "met" else remedy


def _of_noise(case: Case, newtons: float) -> Effect:
    return effect_of_noise(case.true, newtons, rate=case.rig.converter.rate, duration=case.strike.duration)


def _together(one: Effect, other: Effect) -> Effect:
    """Return two independent effects of unknown sign as one."""
    return Effect(
        peak=math.hypot(one.peak, other.peak),
        rise=math.hypot(one.rise, other.rise),
        impulse=math.hypot(one.impulse, other.impulse),
        either_way=True,
    )


def _cut_off(case: Case, end: float) -> Effect:
    """Return what cutting the strike off at the end of a range takes from it."""
    if end <= 0.0:
        return Effect(peak=-1.0, rise=-1.0, impulse=-1.0)
    cut = replace(case.true, reading=np.minimum(case.true.force, end))
    return effect_on(cut, duration=case.strike.duration)


def _scale_u(case: Case, force: float) -> float:
    """Return the relative standard uncertainty of the step from volts to newtons."""
    at = np.array([force])
    return math.hypot(*(float(term.at(at)[0]) for term in case.conversion.errors)) / force
