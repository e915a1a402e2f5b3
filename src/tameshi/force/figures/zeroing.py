"""One window as force on the plate: converted, the cell undone, zeroed; what stands out of its noise."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.background.baseline import Baseline
from tameshi.force.figures.context import Context
from tameshi.force.finding.contact import Contact, find_contacts
from tameshi.force.finding.window import Window, zero_window
from tameshi.force.shape.dynamics import Correction, plan_correction
from tameshi.force.shape.quality import ac_time_constant
from tameshi.force.shape.shape import measure_shape
from tameshi.force.signal.noise import Noise

FloatArray = NDArray[np.float64]

_AC_LOOK = 0.010
_AC_CLEAR = 5.0
_AC_AVERAGED = 16  # samples over which noise is judged: correlated noise averages less than white
_AC_HINT = 0.006  # of the peak: an undershoot worth a closer look
_DURATION_OF_HALF_WIDTH = 1.5  # half-sine: the base is 1.5 times the width at half height
_FEWEST_QUIET = 16
_ROUNDING = 0.29  # 1/sqrt 12 of a step: what rounding to whole steps leaves
_MEDIAN_TO_SIGMA = 1.4826


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


def contacts_in(
    force: FloatArray, scatter: Callable[[int], float], window: Window, context: Context
) -> list[Contact]:
    """Return the contacts of a window's event in a signal whose means scatter as a function says."""
    cell = context.rig.cell.natural_frequency if context.rig else None
    period = context.rate / cell if cell else None
    return find_contacts(force, context.rate, window.event, scatter, context.settings, period=period)


def zero(window: Window, context: Context, *, longer: float = 1.0) -> Zeroed:
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
        white_noise(reading, window) / height if height > 0.0 else 1.0,
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
        white = min(white, max(white_noise(reading, window), _ROUNDING * context.step * newtons))
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


def white_noise(reading: FloatArray, window: Window) -> float:
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
    contacts = contacts_in(zeroed.force, zeroed.noise.of_mean, window, context)
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
