"""Contact prints: from a picture of ink on paper to patches, areas and their uncertainty."""

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.known_lens import KnownLens, lens_text, parse_lens
from tameshi.footprint.geometry.lens import Lens
from tameshi.footprint.measure import measure_footprint
from tameshi.footprint.references.layout import (
    BAR_LENGTH,
    MARKER_CELLS,
    Bar,
    Sheet,
    Tint,
    marker_cells,
    papers,
    sheet_layout,
)
from tameshi.footprint.references.picked import Picked, PickedPoint, parse_points, picked_from
from tameshi.footprint.references.registry import KINDS
from tameshi.footprint.results.corrections import Corrections, corrections_from
from tameshi.footprint.results.model import (
    Axes,
    Footprint,
    Patch,
    ReferenceFacts,
    SeparatePrint,
    SetAside,
    Spacing,
)
from tameshi.footprint.results.overlay import draw_overlay
from tameshi.footprint.results.png import overlay_png
from tameshi.footprint.results.record import as_dict, to_record
from tameshi.footprint.results.settings import FootprintSettings
from tameshi.footprint.results.typed import parse_corrections

__all__ = [
    "BAR_LENGTH",
    "KINDS",
    "MARKER_CELLS",
    "Axes",
    "Bar",
    "Box",
    "Corrections",
    "Footprint",
    "FootprintSettings",
    "KnownLens",
    "Lens",
    "Patch",
    "Picked",
    "PickedPoint",
    "ReferenceFacts",
    "SeparatePrint",
    "SetAside",
    "Sheet",
    "Spacing",
    "Tint",
    "as_dict",
    "corrections_from",
    "draw_overlay",
    "lens_text",
    "marker_cells",
    "measure_footprint",
    "overlay_png",
    "papers",
    "parse_corrections",
    "parse_lens",
    "parse_points",
    "picked_from",
    "sheet_layout",
    "to_record",
]
