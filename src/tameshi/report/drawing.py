"""What the drawings of a report show: data ready to be drawn, and words for those who cannot see them.

Nothing is drawn here; ``report.figures`` turns each of these into a picture. Values are in coherent
SI, an :class:`Axis` says in which unit they are written.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

FloatArray = NDArray[np.float64]
_FARTHEST = 1.9  # times the greatest value
_BEYOND_THE_LAST = 1.04

Scaling = Callable[[ArrayLike], FloatArray]


@dataclass(frozen=True, slots=True)
class Axis:
    """A scale along one side of a drawing.

    Parameters
    ----------
    name : str
    unit : str
        As written: ``"kN"``.
    factor : float
        Coherent SI units in one of it.
    """

    name: str
    unit: str
    factor: float

    def other(self, beside: Axis) -> tuple[Scaling, Scaling]:
        """Return the functions that turn this scale into another one and back."""
        ratio = self.factor / beside.factor
        return (
            lambda here: np.asarray(here, np.float64) * ratio,
            lambda there: np.asarray(there, np.float64) / ratio,
        )

    @property
    def label(self) -> str:
        """Name and unit as they stand beside the scale."""
        return f"{self.name} [{self.unit}]" if self.unit else self.name


@dataclass(frozen=True, slots=True, kw_only=True)
class Words:
    """What stands beside a drawing.

    Parameters
    ----------
    key : str
        Tells it from the other drawings of the report; letters, digits and hyphens.
    title : str
        Its name.
    alternative : str
        What it shows, for those who cannot see it.
    caption : str
        How to read it.
    """

    key: str
    title: str
    alternative: str
    caption: str


@dataclass(frozen=True, slots=True, eq=False)
class Curve:
    """A line to draw.

    Parameters
    ----------
    time : (n,) array
        From the onset of the strike. [s]
    force : (n,) array
        [N]
    """

    time: FloatArray
    force: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ForceTime:
    """The force of one strike over time.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Force on the left and on the right.
    force : Curve
        On the plate.
    reading : Curve or None
        Of the cell, where its response was undone.
    end, peak_time : float
        From the onset. [s]
    peak : float or None
        None where it could not be measured. [N]
    peak_words : str
        What is written at the peak.
    level : float
        Force that marks onset and end. [N]
    shaded : (float, float) or None
        The stretch whose area is the impulse; None where no impulse is given. [s]
    """

    words: Words
    axes: tuple[Axis, Axis]
    force: Curve
    reading: Curve | None
    end: float
    peak_time: float
    peak: float | None
    peak_words: str
    level: float
    shaded: tuple[float, float] | None


@dataclass(frozen=True, slots=True)
class Bars:
    """An uncertainty budget: what each source contributes.

    Parameters
    ----------
    title : str
        The quantity it belongs to, with its relative standard uncertainty.
    shares : tuple of (str, float)
        Name and share of the variance, greatest first; they add up to one.
    """

    title: str
    shares: tuple[tuple[str, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Budget:
    """One or more uncertainty budgets over one another."""

    words: Words
    panels: tuple[Bars, ...]


@dataclass(frozen=True, slots=True)
class Point:
    """A value with its interval in coherent SI; a lower bound has no interval."""

    value: float
    low: float
    high: float
    is_bound: bool = False


@dataclass(frozen=True, slots=True)
class Series:
    """The strikes of one technique.

    Parameters
    ----------
    label : str
    points : tuple of Point
        In order of time.
    typical : Point or None
        Their mean.
    """

    label: str
    points: tuple[Point, ...]
    typical: Point | None


@dataclass(frozen=True, slots=True, kw_only=True)
class SideBySide:
    """One quantity of every strike, technique by technique.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Below and above.
    series : tuple of Series
    """

    words: Words
    axes: tuple[Axis, Axis]
    series: tuple[Series, ...]

    @property
    def farthest(self) -> float:
        """Where its scale ends; intervals that go beyond it end in an arrow."""
        return farthest(self.series)


@dataclass(frozen=True, slots=True)
class Cross:
    """A point that is uncertain in both directions, in coherent SI."""

    across: Point
    up: Point


@dataclass(frozen=True, slots=True)
class Slope:
    """A law to compare with: a line of its exponent through the middle of the fit.

    Parameters
    ----------
    label : str
    exponent : float
    is_inside : bool
        Whether the prints agree with it.
    """

    label: str
    exponent: float
    is_inside: bool


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class AreaForce:
    """Contact area against peak force, both on logarithmic scales.

    Parameters
    ----------
    words : Words
    across, up : (Axis, Axis)
        Scales of force below and above, of area on the left and on the right.
    points : tuple of Cross
    force : (n,) array
        Where the fit is drawn. [N]
    area, low, high : (n,) array
        The fit with its 95 % band. [m2]
    slopes : tuple of Slope
    """

    words: Words
    across: tuple[Axis, Axis]
    up: tuple[Axis, Axis]
    points: tuple[Cross, ...]
    force: FloatArray
    area: FloatArray
    low: FloatArray
    high: FloatArray
    slopes: tuple[Slope, ...]


@dataclass(frozen=True, slots=True)
class Struck:
    """A strike, or what is typical of a technique, on the scale of published ranges.

    Parameters
    ----------
    label : str
    typical : Point or None
        With its interval; a band of bounds has no value of its own, and ``is_bound`` then says so.
    greatest : float or None
        Value of the greatest strike.
    """

    label: str
    typical: Point | None
    greatest: float | None


@dataclass(frozen=True, slots=True)
class Borne:
    """A published range.

    Parameters
    ----------
    label : str
    low, high : float
        Alike where one number was published.
    middles : tuple of float
        Means, medians and single numbers it is made of.
    is_one_sided : bool
        Whether a strike may be compared with it from one side only.
    """

    label: str
    low: float
    high: float
    middles: tuple[float, ...]
    is_one_sided: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class BesidePublished:
    """Strikes beside published ranges of one kind of quantity, on a logarithmic scale.

    Parameters
    ----------
    words : Words
    axes : (Axis, Axis)
        Below and above.
    struck : tuple of Struck
    borne : tuple of Borne
        Those a strike may be compared with directly first.
    modelled : bool
        Whether what is set beside them comes from a model.
    """

    words: Words
    axes: tuple[Axis, Axis]
    struck: tuple[Struck, ...]
    borne: tuple[Borne, ...]
    modelled: bool = False


def farthest(series: tuple[Series, ...]) -> float:
    """Return a scale's end that shows every value, without letting one interval squeeze the rest."""
    points = [point for one in series for point in (*one.points, one.typical) if point is not None]
    greatest = max((point.value for point in points), default=1.0)
    needed = max((point.high for point in points), default=1.0)
    return _BEYOND_THE_LAST * min(needed, _FARTHEST * greatest)


Drawing = ForceTime | Budget | SideBySide | AreaForce | BesidePublished


def _times(ratio: float) -> Scaling:
    return lambda values: np.asarray(values, np.float64) * ratio


def thinned(values: FloatArray, *, most: int, tolerance: float) -> NDArray[np.intp]:
    """Return which samples to keep so that a curve looks the same with fewer points.

    Parameters
    ----------
    values : (n,) array
        Evenly spaced.
    most : int
        Stretches along the curve that a drawing can tell apart: the least and the greatest sample of
        each are candidates.
    tolerance : float
        A candidate this close to the line between those kept is left out. [as ``values``]

    Returns
    -------
    (m,) array of int
        Both ends and every extreme among them, in order.

    Notes
    -----
    Lines are refined where the curve departs most from them, as long as it departs by more than the
    tolerance: the way of Ramer, Douglas and Peucker (1972, 1973; value from memory), along one axis.
    """
    candidates = _extremes(values, most)
    heights = values[candidates]
    kept = {0, len(candidates) - 1}
    open_ends = [(0, len(candidates) - 1)]
    while open_ends:
        first, last = open_ends.pop()
        if last - first < 2:  # noqa: PLR2004  nothing lies between
            continue
        line = np.interp(candidates[first : last + 1], candidates[[first, last]], heights[[first, last]])
        off = np.abs(heights[first : last + 1] - line)
        farthest = first + int(np.argmax(off))
        if off[farthest - first] > tolerance:
            kept.add(farthest)
            open_ends += [(first, farthest), (farthest, last)]
    return candidates[sorted(kept)]


def _extremes(values: FloatArray, most: int) -> NDArray[np.intp]:
    count = len(values)
    if count <= 2 * most:
        return np.arange(count)
    edges = np.linspace(0, count, most + 1).astype(np.intp)
    kept = {0, count - 1}
    for start, stop in pairwise(edges):
        kept.add(int(start + np.argmin(values[start:stop])))
        kept.add(int(start + np.argmax(values[start:stop])))
    return np.array(sorted(kept), dtype=np.intp)
