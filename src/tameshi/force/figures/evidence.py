"""What the budgets of one strike rest on."""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from tameshi.force.settings import Settings
from tameshi.force.shape.dynamics import Unseen
from tameshi.force.shape.shape import Shape
from tameshi.force.signal.noise import Noise
from tameshi.quantity import Source
from tameshi.rig import Conversion

FloatArray = NDArray[np.float64]


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Evidence:
    """All that the uncertainty of one strike's figures rests on.

    Parameters
    ----------
    key : str
        Identity of the strike.
    chain : str
        Identity of the rig, for errors its strikes share.
    shape : Shape
    moved : tuple of (str, Shape)
        Figures found with one input moved by its standard uncertainty, and that input's name.
    force : (n,) array
        Zeroed force over the window. [N]
    rate : float
        [Hz]
    conversion : Conversion
    sigma : float
        Standard deviation of single quiet samples. [N]
    noise : Noise
        Of the quiet samples. [N]
    baseline_u : float
        [N]
    dof : float
        Degrees of freedom of noise and baseline.
    step : float
        One step of the converter as force. [N]
    left : float
        Relative error of the peak that the cell's response leaves uncorrected.
    unseen : Unseen
    settings : Settings
    spacing : float
        Widest step between readings that straight lines bridge, zero where they came evenly. [s]
    """

    key: str
    chain: str
    shape: Shape
    moved: tuple[tuple[str, Shape], ...]
    force: FloatArray
    rate: float
    conversion: Conversion
    sigma: float
    noise: Noise
    baseline_u: float
    dof: float
    step: float
    left: float
    unseen: Unseen
    settings: Settings
    spacing: float = 0.0

    def own(self, line: str, figure: str) -> Source:
        """Return a source that only this figure of this strike has."""
        return Source(f"{self.key}:{line}:{figure}", line, self.dof)

    @property
    def baseline(self) -> Source:
        """Return the baseline's error, common to all figures of the strike."""
        return Source(f"{self.key}:baseline", "baseline", self.dof)
