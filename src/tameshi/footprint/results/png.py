"""The overlay picture as the bytes of a PNG file."""

from __future__ import annotations

import io

from PIL import Image

from tameshi.footprint.results.model import Footprint
from tameshi.footprint.results.overlay import draw_overlay


def overlay_png(footprint: Footprint) -> bytes:
    """Return the overlay of a measured print as a PNG picture."""
    written = io.BytesIO()
    Image.fromarray(draw_overlay(footprint)).save(written, format="PNG", optimize=False)
    return written.getvalue()
