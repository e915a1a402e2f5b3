"""Measure the strikes of one window: convert, undo the cell, zero, tell contacts apart, measure each."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.baseline import Baseline
from tameshi.force.figures.evidence import Evidence
from tameshi.force.finding.contact import Contact, find_contacts
from tameshi.force.finding.window import Window, zero_window
from tameshi.force.settings import Settings
from tameshi.force.shape.dynamics import Correction, plan_correction, unseen_ringing
from tameshi.force.shape.quality import ac_time_constant, clipped_run, ringing_after, undo_ac
from tameshi.force.shape.shape import Shape, measure_shape
from tameshi.force.shape.smear import find_smear
from tameshi.force.signal.noise import Noise
from tameshi.force.trace import Origin
from tameshi.quantity import rectangular_u
from tameshi.rig import Conversion, Rig

FloatArray = NDArray[np.float64]

_AC_LOOK = 0.010
_AC_CLEAR = 5.0
_AC_AVERAGED = 16  # samples over which noise is judged: correlated noise averages less than white
_AC_HINT = 0.006  # of the peak: an undershoot worth a closer look
_DURATION_OF_HALF_WIDTH = 1.5  # half-sine: the base is 1.5 times the width at half height
_FEWEST_DOF = 5.0  # noise known no better is no measure of what stands out of it
_CLEAR_OF_SAMPLES = 4.0  # standard deviations of single samples, lifted by the inverse
_CLEAR_AT_AN_EDGE = 10.0  # standard deviations: hum and drift are known worst where the recording ends
_LONGER = 2.5  # times the duration that the reading shows
_CLIPPED_ONSET = 0.15  # onset share if the true peak were three times the clipped one
_STEP_COUNTS = 0.01  # of the peak
_FEWEST_QUIET = 16
_DETECTION_IN_EVENT = 5.5  # standard deviations
_ROUNDING = 0.29  # 1/sqrt 12 of a step: what rounding to whole steps leaves
_MEDIAN_TO_SIGMA = 1.4826


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Context:
    """What all windows of a recording share; mains hum is that of a stretch of it."""

    rate: float
    step: float
    mains: float | None
    conversion: Conversion
    rig: Rig | None
    settings: Settings
    origin: Origin
    rail: float | None
    chain: str
    samples: int
    ac_constant: float | None = None
    look_for_ac: bool = True
    spacing: float = 0.0


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Found:
    """One contact with all that is known about it, before it becomes a strike.

    Parameters
    ----------
    evidence : Evidence
    contact : Contact
    window : Window
    force, reading : (n,) array
        Over the window. [N]
    raw_peak : float
        Highest reading of the cell. [N]
    correction : Correction
    samples_in : float
        Samples in the contact.
    is_clipped, is_truncated, has_gap : bool
    ringing : (frequency, amplitude) or None
        [Hz], [N]
    ac_constant : float or None
        [s]
    step : float
        Change of level across the event. [N]
    """

    evidence: Evidence
    contact: Contact
    window: Window
    force: FloatArray
    reading: FloatArray
    raw_peak: float
    correction: Correction
    samples_in: float
    is_clipped: bool
    is_truncated: bool
    has_gap: bool
    ringing: tuple[float, float] | None
    ac_constant: float | None
    step: float


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Zeroed:
    """A window as force on the plate, zeroed, with its noise and, if any, its AC coupling.

    Parameters
    ----------
    reading, force : (n,) array
        Before and after the cell's response was undone. [N]
    baseline : Baseline
        Of the force. [N]
    noise : Noise
        Of the force. [N]
    baseline_u, step : float
        [N]
    correction : Correction
    ac_constant : float or None
        [s]
    unfiltered : (n,) array or None
        The force before a channel class rounded it off, where one did. [N]
    """

    reading: FloatArray
    force: FloatArray
    baseline: Baseline
    noise: Noise
    baseline_u: float
    step: float
    correction: Correction
    ac_constant: float | None = None
    unfiltered: FloatArray | None = None

    @property
    def sigma(self) -> float:
        """Standard deviation of single quiet samples. [N]"""
        return self.noise.sigma


def measure_window(window: Window, context: Context) -> list[Found]:
    """Return the contacts of one window, measured.

    Parameters
    ----------
    window : Window
    context : Context
    """
    zeroed = _zero(window, context)
    contacts = _contacts(zeroed.force, zeroed.noise.of_mean, window, context)
    if zeroed.correction.model is not None and zeroed.baseline.dof < _FEWEST_DOF:
        contacts = [one for one in contacts if one.height > _CLEAR_OF_SAMPLES * zeroed.sigma]
    if not contacts and zeroed.correction.model is not None:
        # a ringing taken for a short pulse leaves the low-pass wide open
        zeroed = _zero(window, context, longer=_LONGER)
        contacts = _under_lifted_noise(zeroed, window, context)
    contacts = [one for one in contacts if not _swing_at_an_edge(one, zeroed, window, context)]
    found = [_measure(contact, contacts, window, zeroed, context) for contact in contacts]
    # where the inverse swings at the end of a file, an end may lie before its onset: nothing touched
    return [one for one in found if one.evidence.shape.duration > 0.0]


def _contacts(
    force: FloatArray, scatter: Callable[[int], float], window: Window, context: Context
) -> list[Contact]:
    cell = context.rig.cell.natural_frequency if context.rig else None
    period = context.rate / cell if cell else None
    return find_contacts(force, context.rate, window.event, scatter, context.settings, period=period)


def _swing_at_an_edge(contact: Contact, zeroed: Zeroed, window: Window, context: Context) -> bool:
    """Return whether only the inverse rises, as it does where the recording breaks off."""
    model = zeroed.correction.model
    if model is None:
        return False
    near, place = context.rate / model.corner, window.start + contact.top
    if near <= place < context.samples - near:
        return False
    clear = _CLEAR_AT_AN_EDGE * zeroed.noise.white
    return bool(np.max(zeroed.reading[max(0, contact.start) : contact.stop], initial=0.0) < clear)


def _under_lifted_noise(zeroed: Zeroed, window: Window, context: Context) -> list[Contact]:
    """Return the contact that stands clear of the noise in the reading, though no longer in the force."""
    if zeroed.baseline.dof < _FEWEST_DOF:
        return []
    white = zeroed.noise.white
    if not _contacts(zeroed.reading, lambda count: white / count**0.5, window, context):
        return []
    lenient = replace(context, settings=replace(context.settings, detection=_DETECTION_IN_EVENT))
    found = _contacts(zeroed.force, zeroed.noise.of_mean, window, lenient)
    return sorted(found, key=lambda one: one.height)[-1:]


def _zero(window: Window, context: Context, *, longer: float = 1.0) -> Zeroed:
    """Convert a window, undo the cell, and zero it on the quiet recording round it."""
    conversion = context.conversion
    rough = _rough_level(window)
    # the window's pushes are positive whichever way the cell is wired
    reading = conversion.to_force(np.sign(conversion.sensitivity) * (window.samples - rough))
    duration, height = _rough_size(reading, window.event, context.rate)
    correction = plan_correction(
        context.rig if context.settings.correct_dynamics else None,
        context.rate,
        longer * duration,
        _white_noise(reading, window) / height if height > 0.0 else 1.0,
    )
    force = _undone(reading, correction, context.rate)
    zeroed = _zeroed_and_coupled(window, reading, force, correction, context)
    if window.raw is None:
        return zeroed
    raw = conversion.to_force(np.sign(conversion.sensitivity) * (window.raw - rough))
    return replace(zeroed, unfiltered=_undone(raw, correction, context.rate) - zeroed.baseline.value)


def _zeroed_and_coupled(
    window: Window, reading: FloatArray, force: FloatArray, correction: Correction, context: Context
) -> Zeroed:
    """Zero a window, on what lies before the event alone where an AC coupling spoils what follows it."""
    if context.ac_constant is not None:
        coupled = _zeroed(window, reading, force, correction, context, only_before=True)
        return replace(coupled, ac_constant=context.ac_constant)
    zeroed = _zeroed(window, reading, force, correction, context, only_before=False)
    if not (context.look_for_ac and _may_be_ac(zeroed, window, context.rate)):
        return zeroed
    again = _zeroed(window, reading, force, correction, context, only_before=True)
    constant = _ac_constant(again, window, context)
    return zeroed if constant is None else replace(again, ac_constant=constant)


def _undone(reading: FloatArray, correction: Correction, rate: float) -> FloatArray:
    """Return the force on the plate, as far as the cell's response can be undone."""
    return correction.model.undo(reading, rate) if correction.model else reading


def _zeroed(
    window: Window,
    reading: FloatArray,
    force: FloatArray,
    correction: Correction,
    context: Context,
    *,
    only_before: bool,
) -> Zeroed:
    newtons = 1.0 / abs(context.conversion.sensitivity)
    baseline = zero_window(
        window,
        force,
        context.rate,
        mains=context.mains,
        floor=_ROUNDING * context.step * newtons,
        only_before=only_before,
    )
    under = window.event.stop - window.event.start
    white = baseline.sigma
    if correction.model is not None:
        white = min(white, max(_white_noise(reading, window), _ROUNDING * context.step * newtons))
    noise = Noise(force - baseline.value, baseline.quiet, baseline.sigma, white)
    steady = noise.of_mean(under)
    slow_noise = steady * min(1.0, (under / max(1, int(baseline.quiet.sum()))) ** 0.5)
    return Zeroed(
        reading=reading - baseline.value,
        force=force - baseline.value,
        baseline=baseline,
        noise=noise,
        baseline_u=max(baseline.u, slow_noise),
        step=baseline.step,
        correction=correction,
    )


def _rough_level(window: Window) -> float:
    quiet = window.samples[window.quiet & ~window.missing]
    return float(np.median(quiet)) if len(quiet) else float(window.samples.min())


def _white_noise(reading: FloatArray, window: Window) -> float:
    """Return the noise between neighbouring quiet samples, which slow ringing hardly enters."""
    both = window.quiet[1:] & window.quiet[:-1]
    if both.sum() < _FEWEST_QUIET:
        return 0.0
    return float(np.median(np.abs(np.diff(reading)[both])) * _MEDIAN_TO_SIGMA * np.sqrt(0.5))


def _may_be_ac(zeroed: Zeroed, window: Window, rate: float) -> bool:
    """Return whether the recording dips below zero after the event, as AC coupling makes it."""
    before, after = _quiet_sides(window, round(_AC_LOOK * rate))
    if not (len(before) and len(after)):
        return False
    dip = float(zeroed.force[before].mean() - zeroed.force[after].mean())
    noise = zeroed.sigma * float(1.0 / len(before) + 1.0 / len(after)) ** 0.5
    return bool(dip > max(_AC_CLEAR * noise, _AC_HINT * float(zeroed.force[window.event].max())))


def _quiet_sides(window: Window, most: int) -> tuple[NDArray[np.intp], NDArray[np.intp]]:
    index = np.flatnonzero(window.quiet & ~window.missing)
    before, after = index[index < window.event.start], index[index >= window.event.stop]
    return before[-most:], after[:most]


def _ac_constant(zeroed: Zeroed, window: Window, context: Context) -> float | None:
    contacts = _contacts(zeroed.force, zeroed.noise.of_mean, window, context)
    if not contacts:
        return None
    shape = measure_shape(zeroed.force, context.rate, contacts[-1], zeroed.sigma, context.settings)
    _, after = _quiet_sides(window, len(window.samples))
    return ac_time_constant(
        zeroed.force[after],
        after / context.rate - shape.end,
        impulse=shape.impulse,
        peak=shape.peak,
        sigma=zeroed.noise.of_mean(_AC_AVERAGED) * _AC_AVERAGED**0.5,
    )


def _rough_size(reading: FloatArray, event: slice, rate: float) -> tuple[float, float]:
    """Return duration and height of the highest contact of an event, roughly. [s], [N]"""
    part = reading[event]
    height = float(part.max())
    top = int(np.argmax(part))
    below = np.flatnonzero(part < 0.5 * height)
    left, right = below[below < top], below[below > top]
    width = (right[0] if len(right) else len(part)) - (left[-1] if len(left) else -1) - 1
    return _DURATION_OF_HALF_WIDTH * max(1, int(width)) / rate, height


def _measure(
    contact: Contact, others: list[Contact], window: Window, zeroed: Zeroed, context: Context
) -> Found:
    run = slice(max(0, contact.start), contact.stop)
    # behind a filter a cut-off top is round again
    recorded = window.samples if window.raw is None else window.raw
    sigma = _white_noise(recorded, window)
    flat = clipped_run(recorded, run, step=context.step, rail=context.rail, sigma=sigma)
    if flat is not None:
        # a cut-off reading cannot be worked back to the force: it stands as it is, as a bound
        untouched = Correction(None, left=zeroed.correction.overshoot, overshoot=zeroed.correction.overshoot)
        zeroed = replace(zeroed, force=zeroed.reading, correction=untouched)
    rate, force, sigma = context.rate, zeroed.force, zeroed.sigma
    shape = measure_shape(force, rate, contact, sigma, context.settings)
    limit = min([other.start for other in others if other.start > contact.top], default=len(force))
    ringing = None
    if zeroed.ac_constant is None:
        ringing = ringing_after(force, rate, shape.tail_stop, limit, peak=shape.peak, sigma=sigma)
    feet = slice(max(0, int(shape.onset * rate) - 1), int(shape.end * rate) + 2)
    moved = _moved_shapes(contact, zeroed, context, is_clipped=flat is not None)
    shape, moved = _unsmeared(shape, moved, zeroed.noise)
    left = max(zeroed.correction.left, ringing[1] / shape.peak if ringing else 0.0)
    return Found(
        evidence=_evidence(contact, window, zeroed, context, shape, moved, left),
        contact=contact,
        window=window,
        force=force,
        reading=zeroed.reading,
        raw_peak=_raw_peak(contact, zeroed, context, shape),
        correction=zeroed.correction,
        samples_in=shape.duration / max(1.0 / rate, context.spacing),
        is_clipped=flat is not None,
        is_truncated=window.start + contact.start < 0 or window.start + contact.stop >= context.samples,
        has_gap=bool(window.missing[feet].any()),
        ringing=ringing,
        ac_constant=zeroed.ac_constant,
        step=zeroed.step,
    )


def _raw_peak(contact: Contact, zeroed: Zeroed, context: Context, shape: Shape) -> float:
    """Return the peak of the cell's own reading, found as the force's peak is."""
    if zeroed.correction.model is None:
        return shape.peak
    return measure_shape(zeroed.reading, context.rate, contact, zeroed.sigma, context.settings).peak


def _evidence(
    contact: Contact,
    window: Window,
    zeroed: Zeroed,
    context: Context,
    shape: Shape,
    moved: tuple[tuple[str, Shape], ...],
    left: float,
) -> Evidence:
    origin, baseline = context.origin, zeroed.baseline
    # where the level changed across the event, it may have done so at any time during it
    change = zeroed.step if abs(zeroed.step) > _STEP_COUNTS * shape.peak else 0.0
    return Evidence(
        key=f"{origin.sha256[:16] or origin.file}:{origin.channel}:{window.start + contact.top}",
        chain=context.chain,
        shape=shape,
        moved=moved,
        force=zeroed.force,
        rate=context.rate,
        conversion=context.conversion,
        sigma=zeroed.sigma,
        noise=zeroed.noise,
        baseline_u=float(np.hypot(zeroed.baseline_u, rectangular_u(0.5 * change))),
        dof=baseline.dof,
        step=context.step / abs(context.conversion.sensitivity),
        left=left,
        unseen=unseen_ringing(zeroed.correction, shape.kinks, context.rate),
        settings=context.settings,
        spacing=context.spacing,
    )


def _unsmeared(
    shape: Shape, moved: tuple[tuple[str, Shape], ...], noise: Noise
) -> tuple[Shape, tuple[tuple[str, Shape], ...]]:
    lowered = dict(moved).get("corner")
    if lowered is None:
        return shape, moved
    smear = find_smear(shape, lowered, noise.of_mean(shape.crossing_width))
    return smear.taken_out(shape), tuple((name, smear.taken_out(one)) for name, one in moved)


def _moved_shapes(
    contact: Contact, zeroed: Zeroed, context: Context, *, is_clipped: bool
) -> tuple[tuple[str, Shape], ...]:
    """Return the figures found with each doubtful input moved by its uncertainty."""
    rate, settings, sigma = context.rate, context.settings, zeroed.sigma
    moved = []
    names = (f"natural frequency@{context.chain}", f"damping@{context.chain}", "corner")
    for name, model in zip(names, zeroed.correction.moved, strict=False):
        undone = model.undo(zeroed.reading, rate)
        moved.append((name, measure_shape(undone, rate, contact, sigma, settings)))
    if zeroed.ac_constant is not None:
        repaired = undo_ac(zeroed.force, rate, zeroed.ac_constant)
        moved.append(("AC coupling", measure_shape(repaired, rate, contact, sigma, settings)))
    if zeroed.unfiltered is not None:
        noise = (
            float(np.std(zeroed.unfiltered[zeroed.baseline.quiet])) if zeroed.baseline.quiet.any() else sigma
        )
        whole = replace(settings, channel_class=None)
        moved.append(("filter", measure_shape(zeroed.unfiltered, rate, contact, noise, whole)))
    if is_clipped:
        higher = replace(settings, onset_share=_CLIPPED_ONSET)
        moved.append(("clipping", measure_shape(zeroed.force, rate, contact, sigma, higher)))
    return tuple(moved)
