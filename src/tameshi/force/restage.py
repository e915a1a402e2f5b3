"""A measured contact as a force that can be recorded again: its curve and figures on a fine grid."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from tameshi.force.figures.context import Context
from tameshi.force.figures.judge import judge
from tameshi.force.figures.measure import Found, measure_window
from tameshi.force.finding.contact import Contact, find_contacts, smooth
from tameshi.force.finding.window import Window
from tameshi.force.shape.shape import Shape, measure_shape, steepest
from tameshi.force.strike import Strike
from tameshi.rig import cell_response

FloatArray = NDArray[np.float64]

_FINER = 8  # grid of the curve against the recording's own
_READINGS = 2001  # of the table that turns force back into readings
_OVER = 1.5  # times the greatest force it reaches
_NOTHING = 1e-9  # of the peak: noise of a curve that has none
_MOST_LEFT = 0.009  # of the peak: noise for which levels are still crossed without averaging
_FEWEST_QUIET = 32
_LEFT = 0.0005  # of the peak: noise that may be left on a top
_WIDEST = 0.12  # of the contact
_EDGES = (0.3, 0.6)  # of the peak: below an edge, above the top


@dataclass(frozen=True, slots=True, eq=False)
class Staged:
    """A force curve that stands for the truth.

    Parameters
    ----------
    force : (n,) array
        On a grid eight times as fine as the recording's, over the window. [N]
    rate : float
        Of that grid. [Hz]
    shape : Shape
        Its figures.
    """

    force: FloatArray
    rate: float
    shape: Shape

    def figure(self, name: str, span: float | None) -> float:
        """Return a figure of the curve itself, in SI units.

        Parameters
        ----------
        name : str
            One of ``FIGURES``.
        span : float or None
            What the loading rate is to be taken over. [s]
        """
        shape = self.shape
        if name == "loading_rate":
            return steepest(self.force, max(3, round((span or 0.0) * self.rate) + 1)) * self.rate
        return {
            "peak_force": shape.peak,
            "time_to_peak": shape.peak_time - shape.onset,
            "rise_time": shape.rise_time,
            "contact_duration": shape.duration,
            "impulse": shape.impulse,
            "impulse_to_peak": shape.impulse_to_peak,
            "mean_force": shape.impulse / shape.duration,
        }[name]


def stage(found: Found, context: Context) -> Staged | None:
    """Return a contact's own curve as a truth, smoothed as its noise demands; None where it has no figures.

    Parameters
    ----------
    found : Found
    context : Context
    """
    shape = found.evidence.shape
    smoothed, left = _free_of_noise(found)
    curve = np.maximum(smoothed, 0.0)
    curve[: max(0, shape.tail_start)] = 0.0
    curve[shape.tail_stop :] = 0.0
    force, rate = _finer(curve), _FINER * context.rate
    contact = _contact_at(force, rate, found.contact.top * _FINER, found.window.event, context)
    if contact is None:
        return None
    # what noise is left is one from sample to sample of the fine grid: fits to the top average over it
    sigma = min(left, _MOST_LEFT * shape.peak)
    return Staged(force, rate, measure_shape(force, rate, contact, sigma, context.settings))


def record_again(
    found: Found, staged: Staged, context: Context, generator: np.random.Generator
) -> Strike | None:
    """Return a staged contact recorded and measured once more with errors drawn anew.

    Parameters
    ----------
    found : Found
        Whose surroundings it gets: noise, hum and level.
    staged : Staged
    context : Context
    generator : numpy Generator

    Returns
    -------
    Strike or None
        None where no contact was found.
    """
    reading = _through_cell(found, staged, generator)[generator.integers(_FINER) :: _FINER]
    reading = np.resize(reading, len(found.force)) if len(reading) < len(found.force) else reading
    for term in context.conversion.errors:
        reading = reading + generator.standard_normal() * term.at(reading)
    window = _window_of(found, reading + _noise_like(found, generator), context)
    again = measure_window(window, replace(context, look_for_ac=False))
    nearest = min(again, key=lambda one: abs(one.contact.top - found.contact.top), default=None)
    if nearest is None or abs(nearest.contact.top - found.contact.top) > found.samples_in:
        return None
    return judge(nearest, 1, context.settings)[0]


def _free_of_noise(found: Found) -> tuple[FloatArray, float]:
    """Return the force without its noise, and what single samples of white noise would leave as much.

    It is averaged widely round the top, and hardly where edges are sharp.

    Noise left on the top would pass for a feature of it, and be hit or missed by every draw alike.
    """
    shape, sigma = found.evidence.shape, found.evidence.sigma
    widest = _WIDEST * (shape.end_at.index - shape.onset_at.index)
    width = int(min(widest, (sigma / (_LEFT * shape.peak)) ** 2))
    narrow, wide = smooth(found.force, shape.crossing_width), smooth(found.force, max(1, width))
    share = np.clip((narrow / shape.peak - _EDGES[0]) / (_EDGES[1] - _EDGES[0]), 0.0, 1.0)
    mixed: FloatArray = narrow + share * (wide - narrow)
    width = max(1, width)
    return mixed, found.evidence.noise.of_mean(width) * math.sqrt(_FINER * width)


def _contact_at(force: FloatArray, rate: float, top: int, event: slice, context: Context) -> Contact | None:
    noise = _NOTHING * float(force.max())
    span = slice(event.start * _FINER, event.stop * _FINER)
    contacts = find_contacts(force, rate, span, lambda _: noise, context.settings)
    return min(contacts, key=lambda one: abs(one.top - top), default=None)


def _finer(values: FloatArray) -> FloatArray:
    """Return values on a finer grid, by cubics with the slopes of neighbouring values' chords."""
    padded = np.concatenate((values[:1], values, values[-1:]))
    slopes = 0.5 * (padded[2:] - padded[:-2])
    share = (np.arange(_FINER) / _FINER)[:, None]
    before, after = values[:-1], values[1:]
    rise = after - before
    fine = (
        before
        + slopes[:-1] * share
        + (3.0 * rise - 2.0 * slopes[:-1] - slopes[1:]) * share**2
        + (slopes[:-1] + slopes[1:] - 2.0 * rise) * share**3
    )
    return np.append(fine.T.ravel(), values[-1])


def _through_cell(found: Found, staged: Staged, generator: np.random.Generator) -> FloatArray:
    """Return a staged force as its cell passes it on, natural frequency and damping drawn."""
    model, unseen = found.correction.model, found.correction.unseen
    if model is not None:
        natural, damping = model.natural_frequency, model.damping_ratio
        if found.correction.moved:
            moved = found.correction.moved
            natural += float(generator.standard_normal()) * (moved[0].natural_frequency - natural)
            damping += float(generator.standard_normal()) * (moved[1].damping_ratio - damping)
    elif unseen is not None:
        natural, damping = unseen
    else:
        return staged.force
    length = 1 << (2 * len(staged.force) - 1).bit_length()
    frequency = np.asarray(np.fft.rfftfreq(length, 1.0 / staged.rate), dtype=np.float64)
    spectrum = np.fft.rfft(staged.force, length) * cell_response(frequency, natural, max(damping, 1e-4))
    passed: FloatArray = np.fft.irfft(spectrum, length)[: len(staged.force)]
    return passed


def _noise_like(found: Found, generator: np.random.Generator) -> FloatArray:
    """Return noise like that of a window's quiet samples: those themselves, from a chance place on."""
    quiet = found.window.quiet & ~found.window.missing
    count = len(found.force)
    if quiet.sum() < _FEWEST_QUIET:
        return generator.normal(0.0, found.evidence.sigma, count)
    residual = found.reading[quiet] - found.reading[quiet].mean()
    start, sign = int(generator.integers(len(residual))), 1.0 if generator.random() < 0.5 else -1.0  # noqa: PLR2004
    noise: FloatArray = sign * np.roll(np.resize(residual, count), start)
    return noise


def _window_of(found: Found, reading: FloatArray, context: Context) -> Window:
    """Return a window as it would have been recorded with another reading in it."""
    window, conversion = found.window, context.conversion
    quiet = window.samples[window.quiet & ~window.missing]
    level = float(np.median(quiet)) if len(quiet) else 0.0
    direction = math.copysign(1.0, conversion.sensitivity)
    # what lay under the contact, level and hum, is what was recorded less what was read
    recorded = conversion.to_force(direction * (window.samples - level))
    total = recorded - found.reading + reading
    reach = _OVER * max(float(np.max(np.abs(total))), 1e-300) * abs(conversion.sensitivity)
    table = np.linspace(-reach, reach, _READINGS)
    samples = level + direction * np.interp(total, *_sorted(conversion.to_force(table), table))
    if context.step > 0.0:
        samples = np.round(samples / context.step) * context.step
    return replace(window, samples=samples, missing=np.zeros_like(window.missing))


def _sorted(force: FloatArray, reading: FloatArray) -> tuple[FloatArray, FloatArray]:
    order = np.argsort(force)
    return force[order], reading[order]
