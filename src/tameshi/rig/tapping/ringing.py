"""From a tap to its decay: which stretch is free, what rings in it, and what speaks against the fit.

The stretch runs from where the contact no longer shows in the residual to where the swing drowns in
noise. A second line in the residual's spectrum is fitted together with the first. Logarithmic
decrement and spectrum are worked out from the same stretch in other ways, as checks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.reference import row
from tameshi.rig.tapping.decay import ModesFit, fit_modes, thin
from tameshi.rig.tapping.taps import Tap, coarse_spectrum

FloatArray = NDArray[np.float64]

_STARTS = 12  # half cycles that may be left out for the contact
_FIRST_GUESSES = (0.03, 0.12, 0.006, 0.25)  # damping ratios to start from
_STRONG = 0.3  # of a decay: its strong part, against which the rest is set
_IN_NOISE = 0.5  # of the noise: the swing at which a stretch ends
_AS_NOISE = 1.3  # times the noise: a residual that leaves nothing more to fit
_STILL_NOISE = 2.0  # times the noise: a residual two neighbouring modes may leave
_NEIGHBOURS = 0.25  # of the frequency
_CLEAR = 3.0  # times the noise: an extreme that counts
_FEWEST_EXTREMES = 3
_LOOSEST = 0.5  # of the damping ratio: a decay that leaves it less certain tells nothing
_LOWEST_MODE = 0.15  # of the main frequency: slower is offset


@dataclass(frozen=True, slots=True, kw_only=True)
class Decay:
    """One tap's free decay.

    Parameters
    ----------
    time : float
        Start of the stretch that was fitted. [s]
    natural_frequency, damping_ratio : float
        [Hz], 1
    covariance : (2, 2) array
        Of the two, from the noise left by the fit.
    dof : float
    amplitude, noise : float
        Swing at the start of the stretch and noise of a sample, in the recording's unit.
    cycles : float
        Cycles until the swing drowns in the noise.
    decrement : float or None
        Damping ratio by logarithmic decrement, None where there are too few extremes.
    spectrum : float
        Frequency at the top of the spectrum. [Hz]
    second : (float, float) or None
        Frequency [Hz] of another mode and its share of the main one, where one shows.
    change : (float, float) or None
        Frequency of the strong part over that of the weak part, less one, and its standard
        uncertainty; None where they are too short.
    """

    time: float
    natural_frequency: float
    damping_ratio: float
    covariance: FloatArray
    dof: float
    amplitude: float
    noise: float
    cycles: float
    decrement: float | None
    spectrum: float
    second: tuple[float, float] | None
    change: tuple[float, float] | None

    @property
    def u_frequency(self) -> float:
        """Standard uncertainty of the natural frequency, from noise. [Hz]"""
        return math.sqrt(float(self.covariance[0, 0]))

    @property
    def u_damping(self) -> float:
        """Standard uncertainty of the damping ratio, from noise."""
        return math.sqrt(float(self.covariance[1, 1]))


def measure_decay(
    samples: FloatArray, rate: float, tap: Tap, *, frequency: float, noise: float
) -> Decay | None:
    """Return the free decay of a tap, None where nothing rings clear of the noise.

    Parameters
    ----------
    samples : (n,) array
        The recording, in any unit.
    rate : float
        [Hz]
    tap : Tap
    frequency : float
        Coarse frequency of the ringing. [Hz]
    noise : float
        Standard deviation of a sample, in the recording's unit.
    """
    own, thinner = thin(samples[tap.start : tap.stop] - tap.zero, rate, frequency)
    noise *= math.sqrt(thinner / rate)
    half = max(1, round(0.5 * thinner / frequency))
    chosen: tuple[float, int, ModesFit] | None = None
    for place in range(_STARTS):
        start = place * half
        fit = _fitted(own[start:], thinner, frequency, noise)
        if fit is None:
            continue
        excess = _excess(fit, 2 * half)
        if chosen is None or excess < chosen[0]:
            chosen = (excess, start, fit)
        if excess <= 1.0:
            break
    if chosen is None:
        return None
    _, start, fit = chosen
    decay = _described(fit, thinner, tap.start / rate + start / thinner, math.sqrt(rate / thinner))
    enough = decay.cycles >= row("tap_limits", "cycles")["least"]
    return decay if enough and decay.u_damping < _LOOSEST * decay.damping_ratio else None


def _fitted(own: FloatArray, rate: float, frequency: float, noise: float) -> ModesFit | None:
    """Return the fit to a stretch cut where its swing drowns in the noise."""
    least = row("tap_limits", "cycles")["least"]
    stop = _clear_until(own, rate, frequency, noise)
    if stop < least * rate / frequency:
        return None
    fit = _best_start(own[:stop], rate, frequency, noise)
    if fit is None:
        return None
    # cut again, now that the decay is known
    until = math.log(max(2.0, float(fit.amplitude[0]) / (_IN_NOISE * noise))) / float(fit.decay[0])
    stop = min(len(own), max(round(until * rate), math.ceil(2.0 * least * rate / frequency)))
    fit = fit_modes(own[:stop], rate, (float(fit.angular[0]),), (float(fit.decay[0]),))
    if fit is None or not _in_range(fit, rate, frequency):
        return None
    return _with_second(own[:stop], rate, fit, noise)


def _best_start(own: FloatArray, rate: float, frequency: float, noise: float) -> ModesFit | None:
    """Return the first fit that leaves no more than noise, else the best, from different damping."""
    line, amplitude = coarse_spectrum(own, rate)
    near = (line > 0.5 * frequency) & (line < 2.0 * frequency)
    peak = float(line[near][np.argmax(amplitude[near])]) if near.any() else frequency
    angular = 2.0 * math.pi * peak
    fitted: list[ModesFit] = []
    for guess in _FIRST_GUESSES:
        fit = fit_modes(own, rate, (angular,), (guess * angular,))
        if fit is None or not _in_range(fit, rate, frequency):
            continue
        fitted.append(fit)
        if fit.residual @ fit.residual < len(own) * (_AS_NOISE * noise) ** 2:
            break
    return min(fitted, key=lambda fit: float(fit.residual @ fit.residual), default=None)


def _in_range(fit: ModesFit, rate: float, frequency: float) -> bool:
    """Return whether a fit is of the ringing that was looked for, and decays as ringing does."""
    found = float(fit.angular[0]) / (2.0 * math.pi)
    return 0.4 * frequency < found < min(2.5 * frequency, 0.5 * rate) and bool(
        np.all(fit.decay < fit.angular)
    )


def _clear_until(own: FloatArray, rate: float, frequency: float, noise: float) -> int:
    """Return the sample at which the swing no longer stands clear of the noise."""
    size = max(1, round(0.5 * rate / frequency))
    whole = len(own) // size * size
    blocks = own[:whole].reshape(-1, size)
    low = np.flatnonzero(np.abs(blocks).max(axis=1) < _CLEAR * noise)
    return int(low[0]) * size if len(low) else whole


def _with_second(own: FloatArray, rate: float, fit: ModesFit, noise: float) -> ModesFit:
    """Return the fit with a second mode beside the first, where the residual's spectrum shows one."""
    found = _second_line(fit, rate)
    if found is None:
        return fit
    w, decay = float(fit.angular[0]), float(fit.decay[0])
    near = [(w, 2.0 * math.pi * found), (2.0 * w - 2.0 * math.pi * found, 2.0 * math.pi * found)]
    fits = [fit_modes(own, rate, pair, (s, s)) for pair in near for s in (decay, 0.6 * decay)]
    fitted = [one for one in fits if one is not None and np.all(one.decay < one.angular)]
    both = min(fitted, key=lambda one: float(one.residual @ one.residual), default=None)
    if both is None or both.residual @ both.residual > 0.5 * (fit.residual @ fit.residual):
        return fit
    apart = abs(float(both.angular[1]) - w) / w
    if apart < _NEIGHBOURS and both.residual @ both.residual > len(own) * (_STILL_NOISE * noise) ** 2:
        # two lines so near that leave more than noise: one whose frequency moves, not two
        return fit
    energy = both.amplitude**2 / both.decay
    if energy[1] > energy[0]:
        order = (1, 0)
        swapped = fit_modes(own, rate, tuple(both.angular[[*order]]), tuple(both.decay[[*order]]))
        return swapped or fit
    return both


def _second_line(fit: ModesFit, rate: float) -> float | None:
    """Return the frequency of a second line in the residual, None where none reaches the stated share."""
    limits = row("tap_limits", "second-mode")
    line, left = coarse_spectrum(fit.residual, rate)
    _, main = coarse_spectrum(fit.ripple, rate)
    seen = (line > _LOWEST_MODE * fit.natural_frequency) & (line < 0.5 * rate)
    if not seen.any():
        return None
    top = int(np.argmax(np.where(seen, left, 0.0)))
    if left[top] < limits["value"] * main.max() or left[top] < limits["noise"] * np.median(left[seen]):
        return None
    return float(line[top])


def _excess(fit: ModesFit, cycle: int) -> float:
    """Return how far the first cycle's residual exceeds what noise allows, one at the limit."""
    from scipy.special import fdtri  # noqa: PLC0415  0.15 s that --help need not pay

    first, rest = fit.residual[:cycle], fit.residual[cycle:]
    if len(rest) < cycle or not rest.any():
        return 0.0
    allowed = float(fdtri(len(first), len(rest), 1.0 - row("tap_limits", "contact")["value"]))
    return float(np.mean(first**2) / np.mean(rest**2)) / allowed


def _described(fit: ModesFit, rate: float, time: float, widening: float) -> Decay:
    """Return a fit as a decay, with the checks made in other ways."""
    noise = float(np.sqrt(np.mean(fit.residual**2)))
    amplitude, decay = float(fit.amplitude[0]), float(fit.decay[0])
    last = math.log(max(1.0, amplitude / max(noise, 1e-300))) / decay
    covariance = fit.covariance_of_cell()
    covariance.setflags(write=False)
    line, spectrum = coarse_spectrum(fit.ripple, rate)
    second = None
    if len(fit.amplitude) > 1:
        second = (float(fit.angular[1]) / (2.0 * math.pi), float(fit.amplitude[1]) / amplitude)
    return Decay(
        time=time,
        natural_frequency=fit.natural_frequency,
        damping_ratio=fit.damping_ratio,
        covariance=covariance,
        dof=fit.dof,
        amplitude=amplitude,
        noise=noise * widening,
        cycles=min(last, len(fit.residual) / rate) * fit.natural_frequency,
        decrement=None if second else _decrement(fit.ripple, rate, fit.natural_frequency, noise),
        spectrum=float(line[np.argmax(spectrum)]),
        second=second,
        change=None if second else _change(fit, rate),
    )


def _decrement(ripple: FloatArray, rate: float, frequency: float, noise: float) -> float | None:
    """Return the damping ratio by the logarithmic decrement of successive extremes.

    Notes
    -----
    Half a cycle apart extremes shrink by exp(-pi zeta / sqrt(1 - zeta^2)). Source: any text on
    single-degree-of-freedom vibration; common practice.
    """
    inner = ripple[1:-1]
    turns = np.flatnonzero((np.abs(inner) >= np.abs(ripple[:-2])) & (np.abs(inner) > np.abs(ripple[2:]))) + 1
    least = 0.25 * rate / frequency
    kept: list[int] = []
    for turn in turns:
        if abs(ripple[turn]) < 2.0 * _CLEAR * noise:
            continue
        if kept and turn - kept[-1] < least:
            kept[-1] = int(turn) if abs(ripple[turn]) > abs(ripple[kept[-1]]) else kept[-1]
        else:
            kept.append(int(turn))
    if len(kept) < _FEWEST_EXTREMES:
        return None
    fall = float(np.polyfit(np.array(kept) / rate, np.log(np.abs(ripple[kept])), 1)[0])
    per_half = -fall * 0.5 / frequency
    return per_half / math.hypot(math.pi, per_half)


def _change(fit: ModesFit, rate: float) -> tuple[float, float] | None:
    """Return how frequency differs between the strong and the weak part of a decay."""
    middle = round(_STRONG * len(fit.ripple))
    parts = fit.ripple[:middle], fit.ripple[middle:]
    if middle < row("tap_limits", "cycles")["least"] * rate / fit.natural_frequency:
        return None
    strong, weak = (fit_modes(part, rate, (float(fit.angular[0]),), (float(fit.decay[0]),)) for part in parts)
    if strong is None or weak is None or not _in_range(weak, rate, fit.natural_frequency):
        return None
    u = math.sqrt(sum(float(one.covariance_of_cell()[0, 0]) for one in (strong, weak)))
    return strong.natural_frequency / weak.natural_frequency - 1.0, u / fit.natural_frequency
