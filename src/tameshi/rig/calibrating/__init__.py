"""From known loads to a calibration, and what the loads show of the chain."""

from tameshi.rig.calibrating.curve import (
    DEGREES,
    Calibration,
    fit_calibration,
    force_loadings,
    force_of_reading,
)
from tameshi.rig.calibrating.load_series import LoadSeries, load_series
from tameshi.rig.calibrating.proof import Proof, Residual, prove_calibration

__all__ = [
    "DEGREES",
    "Calibration",
    "LoadSeries",
    "Proof",
    "Residual",
    "fit_calibration",
    "force_loadings",
    "force_of_reading",
    "load_series",
    "prove_calibration",
]
