"""A straight line through points that are uncertain in both directions and scatter besides.

Measurement errors are followed from the sources of the quantities, shared ones with them: a scale that all
points share moves the line and leaves its slope. What the points scatter beyond their measurement is
estimated from how far they lie from the line.
"""

from __future__ import annotations

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity.coverage import LEVEL, coverage_factor
from tameshi.quantity.number import Quantity
from tameshi.quantity.source import Source

FloatArray = NDArray[np.float64]

FEWEST_POINTS = 3
_SCATTER = "scatter about the line"
_ROUNDS = 40
_SETTLED = 1e-10
_FLOOR = 1e-12  # of the spread of y: scatter that rounding alone makes
_SLOPES, _SCATTERS = 161, 96  # steps of the grids
_REACH = 60.0  # standard uncertainties of the slope that the grid spans on either side
_NONE = 2.0  # how far scatter below the measurement is preferred: with it intervals hold what they should
_MANY = 80  # points beyond which the slope is as good as normal


@dataclass(frozen=True, slots=True, kw_only=True)
class Line:
    """A fitted line y = level + slope (x - pivot).

    Parameters
    ----------
    slope, level : Quantity
        With every source of the points, and the scatter, in their parts; units are left to the caller.
    pivot : float
        Where level belongs to: the mean of x.
    scatter : float
        Standard deviation of y about the line beyond measurement.
    scatter_interval : (float, float)
        Its 95 % interval.
    chi_square : float
        Weighted sum of squared residuals, measurement errors alone as weights.
    count : int
    """

    slope: Quantity
    level: Quantity
    pivot: float
    scatter: float
    scatter_interval: tuple[float, float]
    chi_square: float
    count: int

    def at(self, x: float) -> Quantity:
        """Return the line's y at x."""
        return self.level + self.slope * (x - self.pivot)


def fit_line(
    xs: Sequence[Quantity], ys: Sequence[Quantity], *, key: str, scatters: bool = True, name: str = _SCATTER
) -> Line:
    """Fit a straight line to points with errors in both directions.

    Parameters
    ----------
    xs, ys : sequence of Quantity, as many, at least three
        Sources that several of them share are followed.
    key : str
        Identity of the scatter found.
    scatters : bool
        Whether points may lie off the line by more than their measurement explains.
    name : str
        Budget line of the scatter.

    Returns
    -------
    Line
        The slope's interval is that of its distribution once level and scatter are averaged over; it is
        Student's where scatter outweighs measurement, and normal the other way round.

    Raises
    ------
    WrongUseError
        ``too-few-points``, or if xs and ys differ in number.
    UnmeasurableError
        ``no-spread`` where all x are the same, or nothing is uncertain and nothing scatters.

    Notes
    -----
    Source of the estimate: D. York et al., "Unified equations for the slope, intercept, and standard errors
    of the best straight line", Am. J. Phys. 72 (2004) 367-375, here for any covariance. The scatter is that
    which brings chi-square to its degrees of freedom: R. C. Paule, J. Mandel, "Consensus values and weighting
    factors", J. Res. Natl. Bur. Stand. 87 (1982) 377-385. The interval averages over the scatter with density
    (1 + w)² w in its square, w being u²/(scatter² + u²) and u² the mean square of the points' own errors
    (ours: it tends to that of Student's t where scatter prevails; coverage in benchmarks/area_law_truth.py).
    """
    points = _Points.of(xs, ys)
    slope, variance = _settled(points, scatters=scatters)
    fitted = _Fitted.of(points, slope, variance)
    level_q, slope_q = _estimates(points, fitted, key, name)
    slopes, weights, by_scatter = _distribution(points, fitted, slope_q.u, scatters=scatters)
    if points.count <= _MANY:
        slope_q = slope_q.with_interval(*_central(slopes, weights))
    else:
        half = coverage_factor(points.count - 2.0) * slope_q.u
        slope_q = slope_q.with_interval(slope - half, slope + half)
    interval = _central(*by_scatter) if scatters else (0.0, 0.0)
    if variance == 0.0:  # measurement explains it all: there may be none
        interval = (0.0, interval[1])
    alone = points.seen_from(slope)
    return Line(
        slope=slope_q,
        level=level_q,
        pivot=points.pivot,
        scatter=math.sqrt(variance),
        scatter_interval=interval,
        chi_square=float(alone.square(np.zeros(1))[0]),
        count=points.count,
    )


def line_support(xs: Sequence[Quantity], ys: Sequence[Quantity], slopes: Sequence[float]) -> FloatArray:
    """Return how well slopes agree with points, level and scatter averaged over.

    Parameters
    ----------
    xs, ys : sequence of Quantity
        As for :func:`fit_line`.
    slopes : sequence of float

    Returns
    -------
    (k,) array
        Logarithm of the likelihood of each slope, up to one constant: a difference of two is the logarithm
        of their odds, where both were as likely beforehand.
    """
    points = _Points.of(xs, ys)
    slope, variance = _settled(points, scatters=True)
    fitted = _Fitted.of(points, slope, variance)
    grid, prior = _scatter_grid(points, fitted)
    joint = np.array([fitted.log_joint(points.seen_from(one), grid, prior) for one in slopes])
    highest = float(joint.max())
    return np.asarray(highest + np.log(np.trapezoid(np.exp(joint - highest), grid, axis=1)), np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class _Residuals:
    """Residuals from lines of one slope, turned so that their measurement errors are independent."""

    spread: FloatArray  # (n,) variances
    turned: FloatArray  # (n,) residuals
    ones: FloatArray  # (n,) what a change of level does to them

    def square(self, scatter_squared: FloatArray) -> FloatArray:
        """Return the weighted sum of squares at the best level, for each variance of the scatter."""
        weights = 1.0 / (self.spread + scatter_squared[:, None])
        cross = weights @ (self.ones * self.turned)
        return np.asarray(weights @ self.turned**2 - cross**2 / (weights @ self.ones**2), np.float64)

    def log_size(self, scatter_squared: FloatArray) -> FloatArray:
        """Return minus half the logarithm of the errors' determinant, the level averaged over."""
        variances = self.spread + scatter_squared[:, None]
        of_level = (1.0 / variances) @ self.ones**2
        return np.asarray(-0.5 * np.log(variances).sum(axis=1) - 0.5 * np.log(of_level), np.float64)


@dataclass(frozen=True, slots=True, eq=False)
class _Points:
    """Points as arrays: values about their means, and what each source does to them."""

    x: FloatArray
    y: FloatArray
    pivot: float
    height: float
    of_x: FloatArray  # (n, sources)
    of_y: FloatArray
    sources: tuple[Source, ...]
    floor: float

    @classmethod
    def of(cls, xs: Sequence[Quantity], ys: Sequence[Quantity]) -> _Points:
        if len(xs) != len(ys):
            raise WrongUseError("unpaired", f"{len(xs)} values of x do not go with {len(ys)} of y.")
        if len(xs) < FEWEST_POINTS:
            raise WrongUseError("too-few-points", f"A line through {len(xs)} points has no scatter.")
        sources = tuple(dict.fromkeys(source for one in (*xs, *ys) for source in one.parts))
        x, y = (np.array([one.value for one in each]) for each in (xs, ys))
        pivot, height = float(x.mean()), float(y.mean())
        if not np.ptp(x) > 0.0:
            raise UnmeasurableError(
                "no-spread", "All points have the same x.", hint="Measure at different ones."
            )
        of_x, of_y = (
            np.array([[one.parts.get(source, 0.0) for source in sources] for one in each]).reshape(len(x), -1)
            for each in (xs, ys)
        )
        floor = (_FLOOR * float(np.std(y) + np.std(x))) ** 2
        return cls(x - pivot, y - height, pivot, height, of_x, of_y, sources, floor)

    @property
    def count(self) -> int:
        return len(self.x)

    def effects(self, slope: float) -> FloatArray:
        """Return what each source does to each residual."""
        return self.of_y - slope * self.of_x

    def seen_from(self, slope: float) -> _Residuals:
        effects = self.effects(slope)
        spread, axes = np.linalg.eigh(effects @ effects.T)
        residuals = self.y - slope * self.x
        return _Residuals(np.clip(spread, 0.0, None) + self.floor, axes.T @ residuals, axes.sum(axis=0))

    def own_variance(self, slope: float) -> float:
        """Return the mean square of the errors that points do not share."""
        effects = self.effects(slope)
        alone = effects - effects.mean(axis=0)
        return float(np.square(alone).sum()) / (self.count - 1)


@dataclass(frozen=True, slots=True, eq=False)
class _Fitted:
    """The best line, and the size of the errors about it."""

    slope: float
    variance: float
    residuals: _Residuals
    own: float

    @classmethod
    def of(cls, points: _Points, slope: float, variance: float) -> _Fitted:
        return cls(slope, variance, points.seen_from(slope), points.own_variance(slope))

    def log_joint(self, seen: _Residuals, scatters: FloatArray, prior: FloatArray) -> FloatArray:
        """Return the logarithm of likelihood times prior, for each scatter.

        The size of the errors is taken at the best slope: otherwise slopes that make errors in x count less
        would be preferred, as if x were known better there.
        """
        squared = scatters**2
        return np.asarray(
            -0.5 * seen.square(squared) + self.residuals.log_size(squared) + prior, dtype=np.float64
        )


def _settled(points: _Points, *, scatters: bool) -> tuple[float, float]:
    """Return slope and variance of the scatter that agree with each other."""
    slope, variance = float(points.x @ points.y / (points.x @ points.x)), 0.0
    if scatters:
        variance = _scatter_of(points, slope)
    for _ in range(_ROUNDS):
        before = slope
        slope = _best_slope(points, slope, variance)
        if scatters:
            variance = _scatter_of(points, slope)
        if abs(slope - before) <= _SETTLED * (abs(slope) + _SETTLED):
            break
    return slope, variance


def _best_slope(points: _Points, start: float, variance: float) -> float:
    from scipy.optimize import minimize_scalar  # noqa: PLC0415  0.2 s that --help need not pay

    def square(slope: float) -> float:
        return float(points.seen_from(slope).square(np.array([variance]))[0])

    residuals = points.y - start * points.x
    step = math.sqrt(float(residuals @ residuals) / (points.count - 2) / float(points.x @ points.x))
    if not step > 1e-9 * (abs(start) + 1e-300):  # the points lie on the line
        return start
    found = minimize_scalar(square, bracket=(start - step, start + step), tol=1e-10)
    return float(found.x)


def _scatter_of(points: _Points, slope: float) -> float:
    """Return the variance that brings chi-square to its degrees of freedom, nought where it is below."""
    from scipy.optimize import brentq  # noqa: PLC0415

    seen, dof = points.seen_from(slope), points.count - 2

    def excess(variance: float) -> float:
        return float(seen.square(np.array([variance]))[0]) - dof

    if excess(0.0) <= 0.0:
        return 0.0
    residuals = points.y - slope * points.x
    most = 2.0 * float(residuals @ residuals) / dof
    return float(brentq(excess, 0.0, most, xtol=1e-15 * most, rtol=1e-12))


def _estimates(points: _Points, fitted: _Fitted, key: str, name: str) -> tuple[Quantity, Quantity]:
    """Return level and slope with what every source does to them."""
    count, effects = points.count, points.effects(fitted.slope)
    covariance = effects @ effects.T + (fitted.variance + points.floor) * np.eye(count)
    residuals = points.y - fitted.slope * points.x
    weighted = np.linalg.solve(covariance, np.column_stack([np.ones(count), residuals]))
    off = residuals - float(np.ones(count) @ weighted[:, 1]) / float(weighted[:, 0].sum())
    adjusted = points.x - points.of_x @ (effects.T @ np.linalg.solve(covariance, off))
    design = np.column_stack([np.ones(count), adjusted])
    solved = np.linalg.solve(covariance, design)
    gains = np.linalg.solve(design.T @ solved, solved.T)  # (2, n): what a residual does to level, slope
    shifts = gains @ effects
    level = points.height + float(np.ones(count) @ weighted[:, 1]) / float(weighted[:, 0].sum())
    root = np.linalg.cholesky(gains @ gains.T) * math.sqrt(fitted.variance)
    by_scatter = [Source(f"{key}:{axis}", name, count - 2.0, group=key) for axis in range(2)]
    return tuple(  # type: ignore[return-value]
        Quantity(
            value,
            "1",
            {**dict(zip(points.sources, shift, strict=True)), **dict(zip(by_scatter, roots, strict=True))},
        )
        for value, shift, roots in zip((level, fitted.slope), shifts, root, strict=True)
    )


def _scatter_grid(points: _Points, fitted: _Fitted) -> tuple[FloatArray, FloatArray]:
    """Return scatters from nought to far beyond any likely one, and the logarithm of their prior."""
    residuals = points.y - fitted.slope * points.x
    about = math.sqrt(float(residuals @ residuals) / (points.count - 2) + fitted.own + points.floor)
    grid = np.concatenate([[0.0], np.geomspace(1e-3, 60.0, _SCATTERS - 1)]) * about
    with np.errstate(divide="ignore"):
        own = fitted.own + points.floor
        both = grid**2 + own
        prior = np.log(grid) - np.log(both) + _NONE * np.log1p(own / both)
    return grid, prior


def _distribution(
    points: _Points, fitted: _Fitted, u: float, *, scatters: bool
) -> tuple[FloatArray, FloatArray, tuple[FloatArray, FloatArray]]:
    """Return slopes with their density, and scatters with theirs."""
    if points.count > _MANY:
        slopes = np.array([fitted.slope])
    else:
        stretch = np.arcsinh(_REACH)
        slopes = fitted.slope + u * np.sinh(np.linspace(-stretch, stretch, _SLOPES))
    grid, prior = _scatter_grid(points, fitted) if scatters else (np.zeros(1), np.zeros(1))
    joint = np.array([fitted.log_joint(points.seen_from(float(one)), grid, prior) for one in slopes])
    density = np.exp(joint - joint.max())
    if not scatters:
        return slopes, density[:, 0], (grid, density[0])
    of_slope = np.trapezoid(density, grid, axis=1)
    of_scatter = np.trapezoid(density, slopes, axis=0) if len(slopes) > 1 else density[0]
    return slopes, np.asarray(of_slope), (grid, np.asarray(of_scatter))


def _central(values: FloatArray, density: FloatArray, level: float = LEVEL) -> tuple[float, float]:
    """Return the interval that leaves as much out on either side."""
    steps = 0.5 * (density[1:] + density[:-1]) * np.diff(values)
    reached = np.concatenate([[0.0], np.cumsum(steps)])
    if not reached[-1] > 0.0:
        return float(values[0]), float(values[-1])
    tail = 0.5 * (1.0 - level)
    low, high = np.interp([tail, 1.0 - tail], reached / reached[-1], values)
    return float(low), float(high)
