"""From a measured contact to a strike: which figures stand, which are refused, and what is flagged."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np

from tameshi.errors import Flag
from tameshi.force.figures import budget
from tameshi.force.figures.measure import Found
from tameshi.force.settings import Settings
from tameshi.force.strike import FIGURES, Curve, Strike
from tameshi.quantity import Measured, Missing, Quantity

_UNITS = {
    "peak_force": "N",
    "time_to_peak": "s",
    "rise_time": "s",
    "contact_duration": "s",
    "impulse": "N s",
    "impulse_to_peak": "N s",
    "loading_rate": "N/s",
    "mean_force": "N",
}
_FROM_EVIDENCE = {
    "peak_force": budget.peak_force,
    "time_to_peak": budget.time_to_peak,
    "rise_time": budget.rise_time,
    "contact_duration": budget.contact_duration,
    "impulse": budget.impulse,
    "impulse_to_peak": budget.impulse_to_peak,
    "loading_rate": budget.loading_rate,
}
_NEED_THE_TOP = tuple(name for name in FIGURES if name != "contact_duration")
_AREAS = ("impulse", "impulse_to_peak", "mean_force")
_MORE_THAN_IN_THE_NOISE = 0.002  # of the peak: a correction worth a flag
_STEP_TOLD = 0.02
_ONE_SIDED = ("AC coupling", "clipping", "filter")  # they only ever took something away
_COVERAGE = 2.0  # standard uncertainties below what was seen
_ROUNDED_OFF = 0.01  # of the peak: what a class may take off it untold
_KEPT_BESIDE = 1.0  # of a contact, on either side
_FEWEST_BESIDE = 50.0  # samples


@dataclass(frozen=True, slots=True)
class Refusal:
    """Figures that cannot be given, and why; ``bounded`` where what was seen is a lower bound."""

    figures: tuple[str, ...]
    why: str
    bounded: bool = False


def judge(found: Found, index: int, settings: Settings) -> tuple[Strike, Curve]:
    """Return the strike that a measured contact is.

    Parameters
    ----------
    found : Found
    index : int
        Its place in the recording, from 1.
    settings : Settings
    """
    refusals = _refusals(found, settings)
    figures: dict[str, Measured] = {}
    for name, measure in _FROM_EVIDENCE.items():
        refusal = next((one for one in refusals if name in one.figures), None)
        figures[name] = _refused(found, name, refusal) if refusal else measure(found.evidence)
    figures["mean_force"] = _mean_force(figures, refusals)
    shape, rate, start = found.evidence.shape, found.evidence.rate, found.window.start
    offset = start / rate
    strike = Strike(
        index=index,
        onset=offset + shape.onset,
        end=offset + shape.end,
        peak_time=offset + shape.peak_time,
        loading_span=shape.slope_span,
        flags=tuple(replace(flag, strike=index) for flag in _flags(found, settings)),
        **figures,
    )
    return strike, _curve(found)


def _curve(found: Found) -> Curve:
    """Return the force round a contact; long recordings have many, so no more than a drawing shows."""
    shape, rate = found.evidence.shape, found.evidence.rate
    margin = max(_FEWEST_BESIDE / rate, _KEPT_BESIDE * shape.duration)
    start = max(0, math.floor((shape.onset - margin) * rate))
    kept = slice(start, math.ceil((shape.end + margin) * rate) + 1)
    force = found.force[kept].astype(np.float32)
    same = found.reading is found.force or np.array_equal(found.reading, found.force)
    reading = force if same else found.reading[kept].astype(np.float32)
    return Curve(start=(found.window.start + start) / rate, rate=rate, force=force, reading=reading)


def _refusals(found: Found, settings: Settings) -> list[Refusal]:
    refusals = []
    if found.samples_in < settings.fewest_samples:
        why = (
            f"the contact holds {found.samples_in:.1f} samples, and at least {settings.fewest_samples:g} are "
            "needed to see its shape; record faster"
        )
        refusals.append(Refusal(FIGURES, why))
    if found.correction.refused:
        refusals.append(Refusal(FIGURES, found.correction.refused))
    if found.is_truncated:
        refusals.append(Refusal(FIGURES, "the recording starts or ends during the contact", bounded=True))
    if found.has_gap:
        refusals.append(Refusal(FIGURES, "samples are missing during the contact", bounded=True))
    if found.is_clipped:
        refusals.append(
            Refusal(_NEED_THE_TOP, "the top of the strike was cut off by the chain", bounded=True)
        )
    if found.ac_constant is not None:
        why = (
            "the recording is AC-coupled: its net impulse is zero whatever the strike; use an input that "
            "passes constant force"
        )
        refusals.append(Refusal(_AREAS, why))
    return refusals


def _refused(found: Found, name: str, refusal: Refusal) -> Missing:
    least = {"peak_force": _least_peak, "impulse": _least_impulse}.get(name)
    bound = least(found) if refusal.bounded and least is not None else None
    return Missing(_UNITS[name], refusal.why, bound)


def _least_peak(found: Found) -> float:
    """Return what the peak was at least: what was seen, less its doubts and what the cell may have added."""
    measured = budget.peak_force(found.evidence)
    seen = min(float(found.force[found.contact.top]), measured.value)
    certain = seen - _spread_of(measured, (*_ONE_SIDED, "dynamics"))  # the cell's part is taken off below
    return max(0.0, certain) / (1.0 + found.correction.overshoot)


def _least_impulse(found: Found) -> float:
    """Return what the impulse was at least: what was seen, without what a line over a gap puts in."""
    measured, shape = budget.impulse(found.evidence), found.evidence.shape
    tails = slice(max(0, shape.tail_start), shape.tail_stop)
    bridged = np.maximum(found.force[tails], 0.0)[found.window.missing[tails]]
    seen = measured.value - float(bridged.sum()) / found.evidence.rate
    return max(0.0, seen - _spread_of(measured, _ONE_SIDED))


def _spread_of(measured: Quantity, left_out: tuple[str, ...]) -> float:
    """Return the half width of an interval without some lines of its budget."""
    squares = sum(part * part for name, part in measured.budget.items() if name not in left_out)
    return _COVERAGE * math.sqrt(squares)


def _mean_force(figures: dict[str, Measured], refusals: list[Refusal]) -> Measured:
    mean = budget.mean_force(figures["impulse"], figures["contact_duration"])
    if mean is not None:
        return mean
    why = next(one.why for one in refusals if "mean_force" in one.figures)
    return Missing("N", why)


def _flags(found: Found, settings: Settings) -> list[Flag]:
    return [
        flag
        for flag in (
            _clipped(found),
            _truncated(found),
            _gap(found),
            _undersampled(found, settings),
            _low_signal(found, settings),
            _dynamics(found),
            _ringing(found),
            _double(found),
            _beyond(found),
            _attenuated(found, settings),
            _ac_coupled(found),
            _level_change(found),
        )
        if flag is not None
    ]


def _clipped(found: Found) -> Flag | None:
    if not found.is_clipped:
        return None
    least = _least_peak(found)
    return Flag(
        "clipped", f"The top was cut off: the peak was at least {least:.0f} N, how much more is not known."
    )


def _truncated(found: Found) -> Flag | None:
    if not found.is_truncated:
        return None
    return Flag("truncated", "The recording starts or ends during this contact.")


def _gap(found: Found) -> Flag | None:
    return Flag("gap", "Samples are missing during this contact.") if found.has_gap else None


def _undersampled(found: Found, settings: Settings) -> Flag | None:
    if found.samples_in >= settings.coarse_samples:
        return None
    return Flag(
        "undersampled",
        f"{found.samples_in:.0f} samples in the contact; with fewer than {settings.coarse_samples:g} "
        "the peak between two samples is guessed at.",
    )


def _low_signal(found: Found, settings: Settings) -> Flag | None:
    evidence = found.evidence
    ratio = evidence.shape.peak / evidence.sigma if evidence.sigma > 0.0 else float("inf")
    if ratio >= settings.low_signal:
        return None
    return Flag(
        "low-signal", f"The peak is only {ratio:.0f} times the noise, so onset and end are uncertain."
    )


def _dynamics(found: Found) -> Flag | None:
    model = found.correction.model
    peak = found.evidence.shape.peak
    if model is None:
        return None
    change = (peak - found.raw_peak) / peak
    if abs(change) < _MORE_THAN_IN_THE_NOISE:
        return None
    return Flag(
        "dynamics-corrected",
        f"The cell, ringing at {model.natural_frequency:.0f} Hz, read {found.raw_peak:.0f} N; undoing its "
        f"response gives {peak:.0f} N ({change:+.1%}).",
    )


def _ringing(found: Found) -> Flag | None:
    if found.ringing is None:
        return None
    frequency, amplitude = found.ringing
    return Flag(
        "ringing",
        f"The signal swings on at about {frequency:.0f} Hz after the contact, ±{amplitude:.0f} N; as much "
        "may be wrong with the peak. Give natural_frequency and damping_ratio in the rig file, from a tap "
        "test.",
    )


def _double(found: Found) -> Flag | None:
    if not found.contact.is_double:
        return None
    return Flag("double-contact", "The force dips and rises again: two contacts in one strike.")


def _beyond(found: Found) -> Flag | None:
    greatest, peak = found.evidence.conversion.greatest, found.evidence.shape.peak
    if greatest is None or peak <= greatest:
        return None
    backing = "calibration load" if found.evidence.conversion.origin == "calibration" else "rated capacity"
    return Flag(
        "beyond-calibration",
        f"The peak of {peak:.0f} N lies beyond the greatest {backing}, {greatest:.0f} N.",
    )


def _attenuated(found: Found, settings: Settings) -> Flag | None:
    peak = found.evidence.shape.peak
    whole = next((shape.peak for name, shape in found.evidence.moved if name == "filter"), peak)
    if abs(whole - peak) < _ROUNDED_OFF * peak:
        return None
    return Flag(
        "class-attenuates",
        f"Class {settings.channel_class} rounds the peak off: the unfiltered recording reaches "
        f"{whole:.0f} N, {whole / peak - 1.0:+.1%}.",
    )


def _ac_coupled(found: Found) -> Flag | None:
    if found.ac_constant is None:
        return None
    return Flag(
        "ac-coupled",
        "After the contact the signal swings below zero and recovers over about "
        f"{1e3 * found.ac_constant:.0f} ms, as an AC-coupled input does: no impulse can be given, and peak "
        "and duration read low.",
    )


def _level_change(found: Found) -> Flag | None:
    peak = found.evidence.shape.peak
    if abs(found.step) < _STEP_TOLD * peak or found.ac_constant is not None:
        return None
    return Flag(
        "baseline-drift", f"The zero is {found.step:+.0f} N different after the contact from before it."
    )
