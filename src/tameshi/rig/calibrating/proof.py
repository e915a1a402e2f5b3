"""What a calibration shows of the chain: non-linearity, hysteresis, repeatability, zero, lower limits.

Shares are of the change of reading under the greatest load. The figures describe the readings as
they were taken; nothing is left out of them, outliers are only named.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.reference import row
from tameshi.rig.calibrating.curve import DEGREES, Calibration
from tameshi.rig.calibrating.load_series import LoadSeries
from tameshi.rig.calibrating.misfit import added_term

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True)
class Residual:
    """What one reading leaves of the fit.

    Parameters
    ----------
    line : int
        Where it stands in the person's table.
    load : float
        [N]
    residual : float
        Reading minus fit, in the reading's unit.
    standardised : float
        Over its own standard deviation.
    is_outlier : bool
    """

    line: int
    load: float
    residual: float
    standardised: float
    is_outlier: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """What a series of known loads shows of a chain; shares of the greatest load's reading.

    Parameters
    ----------
    end_point, best_line : float
        Greatest departure of the mean reading, load going up, from the line through the ends, and
        from the least-squares line through the means.
    hysteresis : float or None
        Greatest difference between going down and going up at one load; None without going down.
    repeatability : float or None
        Greatest range of readings at one load in one direction; None where none was repeated.
    zero_return : float or None
        Greatest change of the unloaded reading over a loading; None where it was not read again.
    lower_limit_factor, class_a, class_aa : float
        Of ASTM E74, as forces. [N]
    curvature_f, curvature_p : float or None
        F of the quadratic term and the chance of it, were the line straight; None where there are
        too few readings.
    curvature : float or None
        Greatest departure of the parabola from the straight line.
    residuals : tuple of Residual
    flags : tuple of Flag
    """

    end_point: float
    best_line: float
    hysteresis: float | None
    repeatability: float | None
    zero_return: float | None
    lower_limit_factor: float
    class_a: float
    class_aa: float
    curvature_f: float | None
    curvature_p: float | None
    curvature: float | None
    residuals: tuple[Residual, ...]
    flags: tuple[Flag, ...]


def prove_calibration(series: LoadSeries, fitted: Calibration, *, step: float = 0.0) -> Proof:
    """Return what a series of known loads shows beside the curve that was fitted to it.

    Parameters
    ----------
    series : LoadSeries
    fitted : Calibration
        Fitted to it, of either degree.
    step : float
        Resolution of the reading, in its unit: the lower limit factor is never less.

    Notes
    -----
    Lower limit factor: 2.4 residual standard deviations, as a force by the mean ratio of load to
    reading (ASTM E74). That practice is about forces that stand still; it vouches for nothing in a
    strike. Zero is the mean reading without load where there is one, else zero.
    """
    loads, up = _means(series, rising=True)
    zero = _zero(series)
    span = float(np.mean(series.readings[series.loads == series.loads.max()])) - zero
    ends = zero + span * loads / loads[-1]
    best = np.polynomial.Polynomial.fit(loads, up, 1)(loads)
    loaded = np.abs(series.loads) > row("calibration_limits", "zero")["value"] * series.loads.max()
    per_reading = float(np.mean(series.loads[loaded] / (series.readings[loaded] - zero)))
    factor = row("calibration_limits", "lower-limit-factor")["value"] * fitted.residual_sd
    lower = max(factor, step) * abs(per_reading)
    residuals = _residuals(series, fitted)
    f, p, bend = _curvature(series, span)
    return Proof(
        end_point=float(np.max(np.abs(up - ends)) / abs(span)),
        best_line=float(np.max(np.abs(up - best)) / abs(span)),
        hysteresis=_hysteresis(series, span),
        repeatability=_repeatability(series, span),
        zero_return=_zero_return(series, span),
        lower_limit_factor=lower,
        class_a=row("calibration_limits", "class-a")["value"] * lower,
        class_aa=row("calibration_limits", "class-aa")["value"] * lower,
        curvature_f=f,
        curvature_p=p,
        curvature=bend,
        residuals=residuals,
        flags=_flags(series, fitted, residuals, p, bend),
    )


def _means(series: LoadSeries, *, rising: bool) -> tuple[FloatArray, FloatArray]:
    """Return the loads of one direction and the mean reading at each."""
    chosen = series.rising == rising
    loads = np.unique(series.loads[chosen])
    means = [float(np.mean(series.readings[chosen & (series.loads == load)])) for load in loads]
    return loads, np.array(means)


def _unloaded(series: LoadSeries) -> NDArray[np.bool_]:
    least = row("calibration_limits", "zero")["value"] * series.loads.max()
    unloaded: NDArray[np.bool_] = np.abs(series.loads) <= least
    return unloaded


def _zero(series: LoadSeries) -> float:
    """Return the reading without load: as read going up, else nought."""
    chosen = _unloaded(series) & series.rising
    return float(np.mean(series.readings[chosen])) if chosen.any() else 0.0


def _hysteresis(series: LoadSeries, span: float) -> float | None:
    """Return the greatest difference between down and up at one load of one run."""
    found = []
    for run in np.unique(series.runs):
        own = series.runs == run
        for load in np.unique(series.loads[own & ~series.rising & ~_unloaded(series)]):
            at = own & (series.loads == load)
            if (at & series.rising).any():
                down, up = (np.mean(series.readings[at & (series.rising == way)]) for way in (False, True))
                found.append(abs(float(down - up)))
    return max(found) / abs(span) if found else None


def _repeatability(series: LoadSeries, span: float) -> float | None:
    """Return the greatest range of readings at one load in one direction."""
    found = []
    for way in (False, True):
        for load in np.unique(series.loads[~_unloaded(series)]):
            same = series.readings[(series.loads == load) & (series.rising == way)]
            if len(same) > 1:
                found.append(float(np.ptp(same)))
    return max(found) / abs(span) if found else None


def _zero_return(series: LoadSeries, span: float) -> float | None:
    """Return the greatest change of the unloaded reading from before a loading to after it."""
    unloaded = np.flatnonzero(_unloaded(series))
    pairs = [
        abs(float(series.readings[after] - series.readings[before]))
        for before, after in pairwise(unloaded)
        if after - before > 1
    ]
    return max(pairs) / abs(span) if pairs else None


def _residuals(series: LoadSeries, fitted: Calibration) -> tuple[Residual, ...]:
    """Return every reading's residual, with outliers by Student's test of the deleted residual."""
    from scipy.special import stdtrit  # noqa: PLC0415  0.15 s that --help need not pay

    scale = float(np.max(np.abs(series.loads)))
    design = (series.loads[:, None] / scale) ** np.arange(fitted.degree + 1)
    left = series.readings - np.polynomial.polynomial.polyval(series.loads, fitted.coefficients)
    orthogonal = np.linalg.qr(design)[0]
    free = np.clip(1.0 - np.sum(orthogonal**2, axis=1), 1e-12, None)
    sd = fitted.residual_sd
    standardised = left / (sd * np.sqrt(free)) if sd > 0.0 else np.zeros_like(left)
    outlying = np.zeros(len(left), dtype=np.bool_)
    if fitted.dof > 1.0 and sd > 0.0:
        square = np.minimum(standardised**2, fitted.dof * (1.0 - 1e-12))
        deleted = np.sqrt(square * (fitted.dof - 1.0) / (fitted.dof - square))
        chance = row("calibration_limits", "outlier")["value"] / len(left)
        outlying = deleted > float(stdtrit(fitted.dof - 1.0, 1.0 - 0.5 * chance))
    return tuple(
        Residual(line=line, load=float(load), residual=float(e), standardised=float(r), is_outlier=bool(out))
        for line, load, e, r, out in zip(
            series.lines, series.loads, left, standardised, outlying, strict=True
        )
    )


def _curvature(series: LoadSeries, span: float) -> tuple[float | None, float | None, float | None]:
    """Return F and chance of a quadratic term, and how far it bends; None where it cannot be told."""
    term = added_term(series.loads, series.readings, DEGREES[-1])
    if term is None:
        return None, None, None
    bend = float(np.max(np.abs(term.with_it(series.loads) - term.without(series.loads)))) / abs(span)
    return term.f, term.chance, bend


def _flags(
    series: LoadSeries,
    fitted: Calibration,
    residuals: tuple[Residual, ...],
    p: float | None,
    bend: float | None,
) -> tuple[Flag, ...]:
    flags = []
    outliers = [one for one in residuals if one.is_outlier]
    if outliers:
        named = ", ".join(
            f"line {one.line} ({one.standardised:+.1f} standard deviations)" for one in outliers
        )
        flags.append(Flag("calibration-outlier", f"Far from the curve: {named}. Nothing was left out."))
    limits = row("calibration_limits", "curvature")
    if p is not None and bend is not None:
        if fitted.degree == 1 and p < limits["value"]:
            flags.append(
                Flag(
                    "curvature",
                    f"The readings bend away from a straight line by up to {_percent(bend)} of the greatest "
                    f"(chance {math.ceil(1e4 * p) / 1e4:.4f} or less, were the line straight).",
                )
            )
        if fitted.degree > 1 and p > limits["idle"]:
            flags.append(
                Flag(
                    "curvature-not-shown",
                    f"The quadratic term is no more than scatter could make it (chance {p:.2f}); it bends "
                    f"the curve by {_percent(bend)} of the greatest reading.",
                )
            )
    wanted = row("calibration_limits", "readings")["value"]
    if len(series.loads) < wanted:
        flags.append(
            Flag(
                "few-loads",
                f"{len(series.loads)} readings; the force standard that the lower limits come from asks for "
                f"{wanted} or more.",
            )
        )
    return tuple(flags)


def _percent(share: float) -> str:
    return f"{100.0 * share:.2g} %"
