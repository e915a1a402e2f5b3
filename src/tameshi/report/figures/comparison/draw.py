"""Which drawing of a comparison is drawn by whom."""

from __future__ import annotations

from typing import TYPE_CHECKING

from tameshi.report.comparison.drawings import (
    ComparisonDrawing,
    Distributions,
    ForceArea,
    SpeedMass,
    Timeline,
)
from tameshi.report.figures.comparison.distributions import draw_distributions
from tameshi.report.figures.comparison.planes import draw_force_area, draw_speed_mass
from tameshi.report.figures.comparison.timeline import draw_timeline

if TYPE_CHECKING:
    from matplotlib.figure import Figure


def draw_comparison(drawing: ComparisonDrawing) -> Figure:
    """Return the figure of a drawing of a comparison."""
    match drawing:
        case Distributions():
            return draw_distributions(drawing)
        case ForceArea():
            return draw_force_area(drawing)
        case SpeedMass():
            return draw_speed_mass(drawing)
        case Timeline():
            return draw_timeline(drawing)
