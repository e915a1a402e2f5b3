"""The rig: cell, amplifier, converter, plate, calibration, and what they can resolve."""

from tameshi.rig.calibration import Calibration, fit_calibration, force_loadings, force_of_reading
from tameshi.rig.check import RigCheck, check_rig, quiet_noise
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
from tameshi.rig.expected import ExpectedStrike, expected_strike, force_of_strike
from tameshi.rig.file import calibration_table, parse_rig
from tameshi.rig.flight import Bounce, Fall, Flight, air_share, follow
from tameshi.rig.gravity import local_gravity
from tameshi.rig.limits import Limit
from tameshi.rig.load_series import LoadSeries, load_series
from tameshi.rig.model import Amplifier, Cell, Converter, Plate, Rig
from tameshi.rig.proof import Proof, Residual, prove_calibration
from tameshi.rig.reading import (
    Effect,
    Seen,
    effect_of_chain,
    effect_of_noise,
    effect_of_sampling,
    effect_on,
    read_strike,
    samples_of,
)
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
    "Effect",
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
    "Seen",
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
    "effect_of_chain",
    "effect_of_noise",
    "effect_of_sampling",
    "effect_on",
    "expected_strike",
    "fit_calibration",
    "follow",
    "force_loadings",
    "force_of_reading",
    "force_of_strike",
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
    "quiet_noise",
    "read_strike",
    "recover_force",
    "samples_needed",
    "samples_of",
    "worst_under_read",
]
