"""Measure the strikes of one window: convert, undo the cell, zero, tell contacts apart, measure each."""

from __future__ import annotations

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.figures.context import Context
from tameshi.force.figures.evidence import Evidence
from tameshi.force.figures.zeroing import Zeroed, contacts_in, white_noise, zero
from tameshi.force.finding.contact import Contact
from tameshi.force.finding.window import Window
from tameshi.force.shape.dynamics import Correction, unseen_ringing
from tameshi.force.shape.quality import clipped_run, ringing_after, undo_ac
from tameshi.force.shape.shape import Shape, measure_shape
from tameshi.force.shape.smear import find_smear
from tameshi.force.signal.noise import Noise
from tameshi.quantity import rectangular_u

FloatArray = NDArray[np.float64]

_FEWEST_DOF = 5.0  # noise known no better is no measure of what stands out of it
_CLEAR_OF_SAMPLES = 4.0  # standard deviations of single samples, lifted by the inverse
_CLEAR_AT_AN_EDGE = 10.0  # standard deviations: hum and drift are known worst where the recording ends
_LONGER = 2.5  # times the duration that the reading shows
_CLIPPED_ONSET = 0.15  # onset share if the true peak were three times the clipped one
_STEP_COUNTS = 0.01  # of the peak
_DETECTION_IN_EVENT = 5.5  # standard deviations


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


def measure_window(window: Window, context: Context) -> list[Found]:
    """Return the contacts of one window, measured.

    Parameters
    ----------
    window : Window
    context : Context
    """
    zeroed = zero(window, context)
    contacts = contacts_in(zeroed.force, zeroed.noise.of_mean, window, context)
    if zeroed.correction.model is not None and zeroed.baseline.dof < _FEWEST_DOF:
        contacts = [one for one in contacts if one.height > _CLEAR_OF_SAMPLES * zeroed.sigma]
    if not contacts and zeroed.correction.model is not None:
        # a ringing taken for a short pulse leaves the low-pass wide open
        zeroed = zero(window, context, longer=_LONGER)
        contacts = _under_lifted_noise(zeroed, window, context)
    contacts = [one for one in contacts if not _swing_at_an_edge(one, zeroed, window, context)]
    found = [_measure(contact, contacts, window, zeroed, context) for contact in contacts]
    # where the inverse swings at the end of a file, an end may lie before its onset: nothing touched
    return [one for one in found if one.evidence.shape.duration > 0.0]


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
    if not contacts_in(zeroed.reading, lambda count: white / count**0.5, window, context):
        return []
    lenient = replace(context, settings=replace(context.settings, detection=_DETECTION_IN_EVENT))
    found = contacts_in(zeroed.force, zeroed.noise.of_mean, window, lenient)
    return sorted(found, key=lambda one: one.height)[-1:]


def _measure(
    contact: Contact, others: list[Contact], window: Window, zeroed: Zeroed, context: Context
) -> Found:
    run = slice(max(0, contact.start), contact.stop)
    # behind a filter a cut-off top is round again
    recorded = window.samples if window.raw is None else window.raw
    sigma = white_noise(recorded, window)
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
