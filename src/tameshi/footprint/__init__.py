"""Contact prints: from a picture of ink on paper to patches, areas and their uncertainty."""

from tameshi.footprint.measure import measure_footprint
from tameshi.footprint.model import Footprint, Patch, ReferenceFacts, SetAside
from tameshi.footprint.overlay import draw_overlay
from tameshi.footprint.picked import Picked, PickedPoint, parse_points
from tameshi.footprint.png import overlay_png
from tameshi.footprint.record import as_dict, to_record
from tameshi.footprint.registry import KINDS
from tameshi.footprint.settings import FootprintSettings
from tameshi.footprint.sheet import (
    BAR_LENGTH,
    MARKER_CELLS,
    Bar,
    Box,
    Sheet,
    Tint,
    marker_cells,
    papers,
    sheet_layout,
)

__all__ = [
    "BAR_LENGTH",
    "KINDS",
    "MARKER_CELLS",
    "Bar",
    "Box",
    "Footprint",
    "FootprintSettings",
    "Patch",
    "Picked",
    "PickedPoint",
    "ReferenceFacts",
    "SetAside",
    "Sheet",
    "Tint",
    "as_dict",
    "draw_overlay",
    "marker_cells",
    "measure_footprint",
    "overlay_png",
    "papers",
    "parse_points",
    "sheet_layout",
    "to_record",
]
