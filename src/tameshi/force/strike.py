"""What the reduction of a recording gives: strikes, each with its figures and flags."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.errors import Flag
from tameshi.force.settings import Settings
from tameshi.force.trace import Origin
from tameshi.quantity import Measured

FIGURES = (
    "peak_force",
    "time_to_peak",
    "rise_time",
    "contact_duration",
    "impulse",
    "impulse_to_peak",
    "loading_rate",
    "mean_force",
)
"""Names of a strike's measured quantities, in the order they are shown."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Strike:
    """One strike.

    Parameters
    ----------
    index : int
        Counted from 1 in order of time.
    onset, end, peak_time : float
        Times from the first sample of the recording. [s]
    peak_force ... mean_force : Quantity or Missing
        See docs/results.md for their definitions.
    loading_span : float or None
        Span over which the loading rate is taken. [s]
    flags : tuple of Flag
    """

    index: int
    onset: float
    end: float
    peak_time: float
    peak_force: Measured
    time_to_peak: Measured
    rise_time: Measured
    contact_duration: Measured
    impulse: Measured
    impulse_to_peak: Measured
    loading_rate: Measured
    mean_force: Measured
    loading_span: float | None = None
    flags: tuple[Flag, ...] = ()

    def figure(self, name: str) -> Measured:
        """Return a measured quantity by its name."""
        measured: Measured = getattr(self, name)
        return measured


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Curve:
    """The force round one strike, for drawing; single precision is finer than any converter.

    Parameters
    ----------
    start : float
        Time of the first sample. [s]
    rate : float
        [Hz]
    force : (n,) array
        Zeroed force on the plate. [N]
    reading : (n,) array
        The cell's own reading as force, before its response was undone. [N]
    """

    start: float
    rate: float
    force: NDArray[np.float32]
    reading: NDArray[np.float32]


@dataclass(frozen=True, slots=True, kw_only=True)
class Rehearsed:
    """One figure of one strike, its budget held against simulation.

    Parameters
    ----------
    strike : int
        Its index.
    figure : str
    value, u : float
        As measured, with the standard uncertainty of its budget, in SI units.
    scatter : float
        Root mean square of simulated results about the truth they were made from.
    bias : float
        Their mean distance from it.
    held : float
        Share of the simulated 95 % intervals that hold the truth.
    draws : int
        Simulated strikes that gave this figure.
    """

    strike: int
    figure: str
    value: float
    u: float
    scatter: float
    bias: float
    held: float
    draws: int


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Reduction:
    """All strikes of a recording.

    Parameters
    ----------
    origin : Origin
    rate : float
        [Hz]
    samples : int
    noise : float
        Standard deviation of single quiet samples. [N]
    conversion : str
        Where newtons come from.
    pad : str or None
        Pad of the rig, None without a rig file.
    settings : Settings
    strikes : tuple of Strike
    curves : tuple of Curve
        One for each strike.
    flags : tuple of Flag
    rehearsed : tuple of Rehearsed
        Budgets held against simulation, where that was asked for.
    """

    origin: Origin
    rate: float
    samples: int
    noise: float
    conversion: str
    pad: str | None
    settings: Settings
    strikes: tuple[Strike, ...]
    curves: tuple[Curve, ...]
    flags: tuple[Flag, ...]
    rehearsed: tuple[Rehearsed, ...] = ()

    @property
    def duration(self) -> float:
        """Length of the recording. [s]"""
        return self.samples / self.rate
