"""A tap test: how plate and cell ring, from taps on the plate."""

from tameshi.rig.tapping.decay import ModesFit, fit_modes, thin
from tameshi.rig.tapping.ringing import Decay
from tameshi.rig.tapping.tap import TapTest, measure_taps

__all__ = ["Decay", "ModesFit", "TapTest", "fit_modes", "measure_taps", "thin"]
