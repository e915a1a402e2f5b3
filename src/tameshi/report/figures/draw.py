"""Which drawing is drawn by whom."""

from __future__ import annotations

from tameshi.report.comparison.drawings import (
    ComparisonDrawing,
    Distributions,
    ForceArea,
    SpeedMass,
    Timeline,
)
from tameshi.report.drawing import AreaForce, BesidePublished, Budget, Drawing, ForceTime, SideBySide
from tameshi.report.figures.area_force import draw_area_force
from tameshi.report.figures.beside_published import draw_beside_published
from tameshi.report.figures.budget import draw_budget
from tameshi.report.figures.comparison import draw_comparison
from tameshi.report.figures.force_time import draw_force_time
from tameshi.report.figures.need_and_strike import draw_need_and_strike
from tameshi.report.figures.plate_and_part import draw_plate_and_part
from tameshi.report.figures.side_by_side import draw_side_by_side
from tameshi.report.figures.style import house_style
from tameshi.report.figures.svg import as_svg
from tameshi.report.humps import NeedAndStrike
from tameshi.report.plate_and_part import PlateAndPart


def to_svg(drawing: Drawing | NeedAndStrike | PlateAndPart | ComparisonDrawing) -> str:
    """Return a drawing as an SVG element to put into a page.

    Parameters
    ----------
    drawing : ForceTime, Budget, SideBySide, AreaForce, BesidePublished, NeedAndStrike, PlateAndPart or one
        of a comparison
    """
    with house_style():
        match drawing:
            case ForceTime():
                figure = draw_force_time(drawing)
            case Budget():
                figure = draw_budget(drawing)
            case SideBySide():
                figure = draw_side_by_side(drawing)
            case AreaForce():
                figure = draw_area_force(drawing)
            case BesidePublished():
                figure = draw_beside_published(drawing)
            case NeedAndStrike():
                figure = draw_need_and_strike(drawing)
            case Distributions() | ForceArea() | SpeedMass() | Timeline():
                figure = draw_comparison(drawing)
            case PlateAndPart():
                figure = draw_plate_and_part(drawing)
        return as_svg(figure, drawing.words)
