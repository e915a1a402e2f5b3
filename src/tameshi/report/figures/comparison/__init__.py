"""Draw comparisons: distributions, planes of two figures, timelines; also over film."""

from tameshi.report.figures.comparison.alone import picture_of
from tameshi.report.figures.comparison.draw import draw_comparison

__all__ = ["draw_comparison", "picture_of"]
