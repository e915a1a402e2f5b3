"""What a report says and draws of strikes against each other."""

from tameshi.report.comparison.courses import timelines
from tameshi.report.comparison.drawings import (
    ComparisonDrawing,
    Distributions,
    ForceArea,
    SpeedMass,
    Timeline,
)
from tameshi.report.comparison.motion import Moved, speed_mass
from tameshi.report.comparison.plane import force_area, paired
from tameshi.report.comparison.spreads import distributions

__all__ = [
    "ComparisonDrawing",
    "Distributions",
    "ForceArea",
    "Moved",
    "SpeedMass",
    "Timeline",
    "distributions",
    "force_area",
    "paired",
    "speed_mass",
    "timelines",
]
