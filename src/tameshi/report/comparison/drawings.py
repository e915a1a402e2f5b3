"""What the drawings of a comparison show: data ready to be drawn, in coherent SI."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.report.drawing import Axis, Cross, Point, Words

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Spread:
    """The strikes of one group.

    Parameters
    ----------
    label : str
    points : tuple of Point
        Every strike, with what its measurement alone leaves in doubt.
    whose : tuple of str
        Athlete of each, in the order of the points.
    outliers : tuple of int
        Places of points that stand out.
    mean : Point or None
        None of a single strike.
    median : float
    sd : float or None
        From strike to strike within an athlete's session.
    """

    label: str
    points: tuple[Point, ...]
    whose: tuple[str, ...]
    outliers: tuple[int, ...]
    mean: Point | None
    median: float
    sd: float | None


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Distributions:
    """One figure of every strike, group under group."""

    words: Words
    axes: tuple[Axis, Axis]
    groups: tuple[Spread, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class Level:
    """A line along which something is the same: a pressure, a momentum, an energy.

    Parameters
    ----------
    value : float
        In coherent SI.
    label : str
    """

    value: float
    label: str


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Cloud:
    """Strikes of one group in a plane of two figures.

    Parameters
    ----------
    label : str
    points : tuple of Cross
    place : int
        Of the group among all, which gives it the same colour and shape everywhere.
    outline : ((n,) array, (n,) array) or None
        Ellipse of their scatter; None where they are too few, or scatter no more than they are measured.
    is_shaky : bool
        Whether the ellipse rests on few strikes.
    """

    label: str
    points: tuple[Cross, ...]
    place: int = 0
    outline: tuple[FloatArray, FloatArray] | None = None
    is_shaky: bool = False


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ForceArea:
    """Peak force against contact area, with lines of equal mean pressure."""

    words: Words
    across: tuple[Axis, Axis]
    up: tuple[Axis, Axis]
    clouds: tuple[Cloud, ...]
    pressures: tuple[Level, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class SpeedMass:
    """Speed against effective mass, with lines of equal momentum and of equal energy."""

    words: Words
    across: tuple[Axis, Axis]
    up: tuple[Axis, Axis]
    clouds: tuple[Cloud, ...]
    momenta: tuple[Level, ...]
    energies: tuple[Level, ...]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Course:
    """The strikes of one group over a session.

    Parameters
    ----------
    label : str
    place : int
        Of the group among all, which gives it the same colour and shape everywhere.
    across : (n,) array
        Number in the session, or time.
    points : tuple of Point
    outliers : tuple of int
    line, low, high : (m,) array
        Straight line through them with its 95 % band; empty where they are fewer than four.
    along : (m,) array
        Where line and band are drawn.
    """

    label: str
    place: int
    across: FloatArray
    points: tuple[Point, ...]
    outliers: tuple[int, ...]
    along: FloatArray
    line: FloatArray
    low: FloatArray
    high: FloatArray


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Timeline:
    """Every strike of one athlete's session.

    Parameters
    ----------
    words : Words
    across : str
        What stands below the scale: ``"strike of the session"`` or ``"time in the recording [s]"``.
    axes : (Axis, Axis)
        On the left and on the right.
    courses : tuple of Course
    is_counted : bool
        Whether strikes are numbered, not timed.
    """

    words: Words
    across: str
    axes: tuple[Axis, Axis]
    courses: tuple[Course, ...]
    is_counted: bool


ComparisonDrawing = Distributions | ForceArea | SpeedMass | Timeline
