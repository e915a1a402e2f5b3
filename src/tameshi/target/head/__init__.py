"""Head pulses: injury criterion, severity index, 3 ms clip. All of them of modelled accelerations."""

from tameshi.target.head.clip import clip_level
from tameshi.target.head.metrics import NOTE, HeadMeasures, head_measures
from tameshi.target.head.pulse import Pulse, pulse_of
from tameshi.target.head.severity import severity_index
from tameshi.target.head.windows import Window, injury_criterion

__all__ = [
    "NOTE",
    "HeadMeasures",
    "Pulse",
    "Window",
    "clip_level",
    "head_measures",
    "injury_criterion",
    "pulse_of",
    "severity_index",
]
