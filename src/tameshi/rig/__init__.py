"""The rig: cell, amplifier, converter, plate, calibration, and what they can resolve."""

from tameshi.rig.calibration import Calibration, fit_calibration, force_loadings, force_of_reading
from tameshi.rig.check import ExpectedStrike, Limit, RigCheck, check_rig, expected_strike
from tameshi.rig.conversion import Conversion, ErrorTerm, conversion_by_scale, conversion_of_rig
from tameshi.rig.drop import BounceCheck, DropCheck, agreement, check_drop
from tameshi.rig.dynamics import (
    cell_response,
    low_pass,
    noise_gain,
    peak_ratio,
    pulse_reading,
    recover_force,
)
from tameshi.rig.file import calibration_table, parse_rig
from tameshi.rig.flight import Bounce, Fall, Flight, air_share, follow
from tameshi.rig.gravity import local_gravity
from tameshi.rig.load_series import LoadSeries, load_series
from tameshi.rig.model import Amplifier, Cell, Converter, Plate, Rig
from tameshi.rig.proof import Proof, Residual, prove_calibration
from tameshi.rig.ringing import Decay
from tameshi.rig.sampling import chance_of_no_sample, mean_under_read, samples_needed, worst_under_read
from tameshi.rig.tap import TapTest, measure_taps

__all__ = [
    "Amplifier",
    "Bounce",
    "BounceCheck",
    "Calibration",
    "Cell",
    "Conversion",
    "Converter",
    "Decay",
    "DropCheck",
    "ErrorTerm",
    "ExpectedStrike",
    "Fall",
    "Flight",
    "Limit",
    "LoadSeries",
    "Plate",
    "Proof",
    "Residual",
    "Rig",
    "RigCheck",
    "TapTest",
    "agreement",
    "air_share",
    "calibration_table",
    "cell_response",
    "chance_of_no_sample",
    "check_drop",
    "check_rig",
    "conversion_by_scale",
    "conversion_of_rig",
    "expected_strike",
    "fit_calibration",
    "follow",
    "force_loadings",
    "force_of_reading",
    "load_series",
    "local_gravity",
    "low_pass",
    "mean_under_read",
    "measure_taps",
    "noise_gain",
    "parse_rig",
    "peak_ratio",
    "prove_calibration",
    "pulse_reading",
    "recover_force",
    "samples_needed",
    "worst_under_read",
]
