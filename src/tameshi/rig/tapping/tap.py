"""A tap test: natural frequency and damping of the mounted cell from the way it rings out.

Each tap gives both with the uncertainty its noise leaves. Taps are combined with weights, their
scatter beyond that noise enters, and what speaks against a single, steady mode is flagged. No force
scale is needed: only times count.
"""

from __future__ import annotations

import math
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import Quantity, Source, effective_dof, rectangular_u
from tameshi.reference import row
from tameshi.rig.tapping.ringing import Decay, measure_decay
from tameshi.rig.tapping.taps import find_taps, noise_of

FloatArray = NDArray[np.float64]

_FEWEST_SAMPLES = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class TapTest:
    """What the taps of a recording tell of a mounted cell.

    Parameters
    ----------
    natural_frequency : Quantity
        Undamped, as the rig file wants it. [Hz]
    damping_ratio : Quantity
    decays : tuple of Decay
        One for each tap that could be used, in order of time.
    left_out : int
        Taps whose ringing could not be used.
    rate : float
        [Hz]
    flags : tuple of Flag
    """

    natural_frequency: Quantity
    damping_ratio: Quantity
    decays: tuple[Decay, ...]
    left_out: int
    rate: float
    flags: tuple[Flag, ...]


def measure_taps(samples: ArrayLike, rate: float, *, key: str = "tap") -> TapTest:
    """Return natural frequency and damping ratio from a recording of taps.

    Parameters
    ----------
    samples : (n,) array
        Readings in any unit; short gaps (NaN) are bridged.
    rate : float
        [Hz]
    key : str
        Tells this recording's errors from those of others.

    Returns
    -------
    TapTest

    Raises
    ------
    WrongUseError
        If the rate is not a positive number.
    UnmeasurableError
        ``no-taps`` where nothing stands clear of the noise or nothing rings.

    Notes
    -----
    Valid for one dominant, lightly damped mode (damping ratio up to about 0.25); a second one is
    fitted along and flagged. Source: free decay of a second-order system by least squares; common
    practice. Scatter between taps after R. DerSimonian, N. Laird (1986), value from memory.
    """
    signal = _bridged(np.asarray(samples, dtype=np.float64), rate)
    taps, frequency = find_taps(signal, rate)
    noise = noise_of(signal)
    found = [measure_decay(signal, rate, tap, frequency=frequency, noise=noise) for tap in taps]
    decays, elsewhere = _of_one_mode([decay for decay in found if decay is not None])
    if not decays:
        raise UnmeasurableError(
            "no-ringing",
            f"{_counted(len(taps), 'hit')} found, but none rings long enough to tell frequency and damping.",
            hint="Tap the bare plate with something small and hard; a pad, a hand left on the plate or a "
            "loose mount swallows the ringing.",
        )
    changed = _strength(decays)
    clock = rectangular_u(float(row("chain_defaults", "time-base")["half_width"]))
    natural = _combined(
        [(one.natural_frequency, one.u_frequency, one.dof) for one in decays], "Hz", f"{key}:frequency"
    )
    natural = natural.with_part(Source(f"{key}:clock", "time base"), clock * natural.value)
    if changed:
        moved = rectangular_u(0.5 * abs(changed) * natural.value)
        natural = natural.with_part(Source(f"{key}:strength", "dependence on strength"), moved)
    damping = _combined(
        [(one.damping_ratio, one.u_damping, one.dof) for one in decays], "1", f"{key}:damping"
    )
    return TapTest(
        natural_frequency=natural,
        damping_ratio=damping,
        decays=tuple(decays),
        left_out=len(found) - len(decays),
        rate=rate,
        flags=(*_flags(decays, natural, damping, rate, changed), *elsewhere),
    )


def _bridged(samples: FloatArray, rate: float) -> FloatArray:
    """Return samples without gaps, or refuse."""
    if not (math.isfinite(rate) and rate > 0.0):
        raise WrongUseError("wrong-rate", f"A rate of {rate!r} Hz is impossible.", hint="Give --rate.")
    known = np.isfinite(samples)
    if samples.ndim != 1 or np.count_nonzero(known) < _FEWEST_SAMPLES:
        raise UnmeasurableError(
            "too-short",
            f"The recording holds {np.count_nonzero(known)} readings; ringing cannot be told in so few.",
            hint="Record from before the first tap until after the last has rung out.",
        )
    index = np.arange(len(samples))
    return np.where(known, samples, np.interp(index, index[known], samples[known]))


def _of_one_mode(decays: list[Decay]) -> tuple[list[Decay], list[Flag]]:
    """Return the decays that ring at the usual frequency, and a flag for those that ring at another."""
    if not decays:
        return [], []
    usual = float(np.median([one.natural_frequency for one in decays]))
    usual = min((one.natural_frequency for one in decays), key=lambda found: abs(found - usual))
    limits = row("tap_limits", "second-mode")
    kept = [
        one
        for one in decays
        if abs(one.natural_frequency - usual) <= limits["apart"] * usual + limits["sigmas"] * one.u_frequency
    ]
    others = [one.natural_frequency for one in decays if one not in kept]
    if not others:
        return kept, []
    message = (
        f"{_counted(len(others), 'tap')} of {len(decays)} left out: the plate rang at {min(others):.0f} to "
        f"{max(others):.0f} Hz, not at {usual:.0f} Hz."
    )
    return kept, [Flag("several-modes", message)]


def _combined(taps: list[tuple[float, float, float]], unit: str, key: str) -> Quantity:
    """Return the weighted mean of taps, each with its standard uncertainty and degrees of freedom."""
    values, spreads = (np.array([tap[place] for tap in taps]) for place in (0, 1))
    spreads = np.maximum(spreads, 1e-12 * np.abs(values))
    weights = spreads**-2.0
    between = _between(values, weights)
    whole = 1.0 / (spreads**2 + between)
    value = float(whole @ values / whole.sum())
    shares = whole / whole.sum()
    noise = math.sqrt(float(shares**2 @ spreads**2))
    dof = effective_dof(
        (float(share * u), tap[2]) for share, u, tap in zip(shares, spreads, taps, strict=True)
    )
    quantity = Quantity(value, unit, {Source(f"{key}:noise", "noise", dof): noise})
    if between > 0.0:
        scatter = math.sqrt(between * float(shares @ shares))
        quantity = quantity.with_part(
            Source(f"{key}:scatter", "scatter of taps", float(len(taps) - 1)), scatter
        )
    return quantity


def _between(values: FloatArray, weights: FloatArray) -> float:
    """Return the variance between taps beyond their noise."""
    if len(values) < 2:  # noqa: PLR2004  one has no scatter
        return 0.0
    mean = float(weights @ values / weights.sum())
    excess = float(weights @ (values - mean) ** 2) - (len(values) - 1)
    return max(0.0, excess / float(weights.sum() - weights @ weights / weights.sum()))


def _strength(decays: list[Decay]) -> float:
    """Return the change of frequency with strength where it is real in most taps, else zero."""
    limits = row("tap_limits", "rattling")
    changes = [one.change for one in decays if one.change is not None]
    if not changes:
        return 0.0
    weights = np.array([u**-2.0 if u > 0.0 else 0.0 for _, u in changes])
    if not weights.any():
        return 0.0
    mean = float(weights @ np.array([change for change, _ in changes]) / weights.sum())
    real = abs(mean) > limits["value"] and abs(mean) > limits["sigmas"] / math.sqrt(weights.sum())
    return mean if real else 0.0


def _flags(
    decays: list[Decay], natural: Quantity, damping: Quantity, rate: float, changed: float
) -> tuple[Flag, ...]:
    """Return what speaks against the figures."""
    flags = [*_of_signal(decays, natural.value / rate), *_of_taps(decays, natural, damping)]
    if changed:
        flags.append(
            Flag(
                "rattling",
                f"The frequency changes by {changed:+.1%} from the weak to the strong part of a decay: "
                "something is loose, or the mount is not linear.",
            )
        )
    second = [one.second for one in decays if one.second is not None]
    if second:
        at, share = max(second, key=lambda one: one[1])
        flags.append(
            Flag(
                "several-modes",
                f"In {_counted(len(second), 'tap')} of {len(decays)} a second mode rings at about "
                f"{at:.0f} Hz with {share:.0%} of the main swing.",
            )
        )
    return tuple(flags)


def _of_signal(decays: list[Decay], share: float) -> list[Flag]:
    flags = []
    few = row("tap_limits", "cycles")["few"]
    cycles = float(np.median([one.cycles for one in decays]))
    if cycles < few:
        flags.append(
            Flag(
                "few-cycles",
                f"Only {cycles:.1f} cycles stand clear of the noise; {few:g} or more are wanted.",
            )
        )
    clear = float(np.median([one.amplitude / one.noise for one in decays if one.noise > 0.0] or [math.inf]))
    if clear < row("tap_limits", "signal")["value"]:
        flags.append(
            Flag("low-signal", f"The ringing starts at only {clear:.0f} times the noise of a sample.")
        )
    limit = row("tap_limits", "sampling")["value"]
    if share > limit:
        flags.append(
            Flag(
                "near-half-rate",
                f"The frequency found is {share:.2f} of the sampling rate, above {limit:g}: the true one may "
                "lie beyond half the rate and show as this one.",
            )
        )
    return flags


def _of_taps(decays: list[Decay], natural: Quantity, damping: Quantity) -> list[Flag]:
    from scipy.special import chdtri  # noqa: PLC0415  0.15 s that --help need not pay

    flags = []
    few = row("tap_limits", "taps")["few"]
    if len(decays) < few:
        flags.append(
            Flag(
                "few-taps",
                f"{_counted(len(decays), 'tap')} used: how taps differ is hardly known from so few.",
            )
        )
    limit = float(chdtri(max(1, len(decays) - 1), row("tap_limits", "scatter")["value"]))
    spread = [
        float(sum(((one.natural_frequency - natural.value) / one.u_frequency) ** 2 for one in decays)),
        float(sum(((one.damping_ratio - damping.value) / one.u_damping) ** 2 for one in decays)),
    ]
    wide = row("tap_limits", "scatter")
    relative = (
        _spread([one.natural_frequency for one in decays]),
        _spread([one.damping_ratio for one in decays]),
    )
    matters = relative[0] > wide["frequency"] or relative[1] > wide["damping"]
    if len(decays) > 1 and matters and max(spread) > limit:
        flags.append(
            Flag(
                "taps-differ",
                "The taps differ by more than their noise: from "
                f"{min(one.natural_frequency for one in decays):.1f} to "
                f"{max(one.natural_frequency for one in decays):.1f} Hz, damping from "
                f"{min(one.damping_ratio for one in decays):.4f} to "
                f"{max(one.damping_ratio for one in decays):.4f}. Their scatter is in the uncertainty.",
            )
        )
    return [*flags, *_of_checks(decays)]


def _spread(values: list[float]) -> float:
    return (max(values) - min(values)) / max(values)


def _of_checks(decays: list[Decay]) -> list[Flag]:
    """Return a flag where logarithmic decrement or spectrum disagree with the fit."""
    limits = row("tap_limits", "checks")
    apart = []
    for one in decays:
        if one.decrement is None:
            continue
        off = abs(one.decrement - one.damping_ratio)
        if off > limits["decrement"] * one.damping_ratio and off > limits["sigmas"] * one.u_damping:
            apart.append(f"the logarithmic decrement gives a damping ratio of {one.decrement:.4f}")
        width = one.damping_ratio + 1.0 / max(one.cycles, 1.0)
        if abs(one.spectrum / one.natural_frequency - 1.0) > width:
            apart.append(f"the spectrum is highest at {one.spectrum:.1f} Hz")
    if len(apart) <= len(decays) // 2:
        return []
    return [Flag("decay-checks", f"Other ways to work it out disagree with the fit: {apart[0]}.")]


def _counted(count: int, noun: str) -> str:
    return f"{count} {noun}{'' if count == 1 else 's'}"
