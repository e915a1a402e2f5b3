"""Draw the drawings of a report as SVG: the same drawing always gives the same bytes."""

from tameshi.report.figures.draw import to_svg

__all__ = ["to_svg"]
