"""Planning a rig: an expected strike followed through the chain, limit by limit."""

from tameshi.rig.planning.check import RigCheck, check_rig, quiet_noise
from tameshi.rig.planning.expected import ExpectedStrike, expected_strike, force_of_strike
from tameshi.rig.planning.limits import Limit
from tameshi.rig.planning.reading import (
    Effect,
    Seen,
    effect_of_chain,
    effect_of_noise,
    effect_of_sampling,
    effect_of_zero,
    effect_on,
    read_strike,
    samples_of,
)

__all__ = [
    "Effect",
    "ExpectedStrike",
    "Limit",
    "RigCheck",
    "Seen",
    "check_rig",
    "effect_of_chain",
    "effect_of_noise",
    "effect_of_sampling",
    "effect_of_zero",
    "effect_on",
    "expected_strike",
    "force_of_strike",
    "quiet_noise",
    "read_strike",
    "samples_of",
]
