"""Pictures for tests: our sheet, struck, photographed; drawn small so that they are quick."""

from __future__ import annotations

from functools import cache

import cv2
import numpy as np
from numpy.typing import NDArray

from tameshi.demo.photo import Camera, Finish, Light, Setting, Surface, as_jpeg, render_photo
from tameshi.demo.plain import Lying, PlainSetting, render_plain
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.footprint import Footprint, sheet_layout
from tameshi.quantity import Quantity
from tameshi.report.sheet import sheet_png

Pixels = NDArray[np.uint8]

PPI = 150.0
TEXEL = 0.0254 / PPI
TABLE = (70, 80, 90)
INK = (25, 25, 60)
MIDDLE = (0.09, 0.14)


@cache
def _blank(paper: str) -> Pixels:
    picture = cv2.imdecode(np.frombuffer(sheet_png(paper, ppi=PPI), np.uint8), cv2.IMREAD_COLOR_RGB)
    assert picture is not None
    return np.asarray(picture, np.uint8)


def drawn_sheet(
    *discs: tuple[float, float, float], paper: str = "a4", ink: tuple[int, int, int] = INK
) -> Pixels:
    """Return the printed sheet, flat, with discs (x, y, radius in metres) of ink: whole pixels, no blur."""
    sheet = _blank(paper).copy()
    rows, columns = np.mgrid[0 : sheet.shape[0], 0 : sheet.shape[1]]
    for x, y, radius in discs:
        inside = np.hypot((columns + 0.5) * TEXEL - x, (rows + 0.5) * TEXEL - y) <= radius
        sheet[inside] = ink
    return sheet


def snapped(
    sheet: Pixels, *, width: int = 1125, height: int = 1500, margin: float = 0.06, turn: int = 0
) -> Pixels:
    """Return a plain photo of a flat sheet: a homography onto a table, a little blur."""
    rows, columns = sheet.shape[:2]
    corners = np.array([(0, 0), (columns, 0), (columns, rows), (0, rows)], np.float32)
    near, far = margin, 1.0 - margin
    seen = np.array([(near, near), (far, 1.2 * near), (far, far), (near, far)]) * (width, height)
    matrix = cv2.getPerspectiveTransform(corners, np.roll(seen, turn, axis=0).astype(np.float32))
    photo = cv2.warpPerspective(sheet, matrix, (width, height), borderValue=TABLE)
    return np.asarray(cv2.GaussianBlur(photo, (0, 0), 0.6), np.uint8)


def simple_photo(*discs: tuple[float, float, float], paper: str = "a4") -> Pixels:
    """Return a plain photo of the sheet with discs of ink; one disc in the middle if none is named."""
    return snapped(drawn_sheet(*(discs or ((*MIDDLE, 0.02),)), paper=paper))


def rendered(contact: ContactPrint, *, seed: int = 1, **setting: object) -> Pixels:
    """Return a rendered photo as a camera would give it, compression included."""
    chosen: dict[str, object] = {
        "camera": Camera(width=1500, height=2000, fill=0.85),
        "finish": Finish(quality=90),
        "light": Light(),
        "surface": Surface(),
        **setting,
    }
    pixels = render_photo(contact, Setting(**chosen), np.random.default_rng(seed))  # type: ignore[arg-type]
    decoded = cv2.imdecode(np.frombuffer(as_jpeg(pixels), np.uint8), cv2.IMREAD_COLOR_RGB)
    assert decoded is not None
    return np.asarray(decoded, np.uint8)


def disc(radius: float = 0.02, x: float = MIDDLE[0], y: float = MIDDLE[1]) -> ContactPrint:
    """Return a round print."""
    return ContactPrint("disc", (Blob(x, y, radius),))


def plain_photo(
    contact: ContactPrint | None = None,
    *,
    lying: Lying | None = None,
    seed: int = 1,
    distortion: float = 0.0,
    **setting: object,
) -> Pixels:
    """Return a small photo of a print on a plain sheet on a brown table, a little from the side."""
    chosen: dict[str, object] = {
        "camera": Camera(
            width=900, height=1200, tilt=15.0, azimuth=30.0, roll=4.0, fill=0.72, distortion=distortion
        ),
        "finish": Finish(blur=0.6, noise=0.004),
        **setting,
    }
    plain = PlainSetting(setting=Setting(**chosen), lying=lying or Lying())  # type: ignore[arg-type]
    return render_plain(contact or disc(), plain, np.random.default_rng(seed))


def scan_of(
    *discs: tuple[float, float, float], dpi: float = 200.0, size: tuple[float, float] = (0.12, 0.12)
) -> Pixels:
    """Return a perfect scan: white paper, hard-edged discs of ink, no noise at all."""
    scale = 0.0254 / dpi
    picture = np.full((round(size[1] / scale), round(size[0] / scale), 3), 255, np.uint8)
    rows, columns = np.mgrid[0 : picture.shape[0], 0 : picture.shape[1]]
    for x, y, radius in discs:
        picture[np.hypot((columns + 0.5) * scale - x, (rows + 0.5) * scale - y) <= radius] = INK
    return picture


def inked(found: Footprint) -> Quantity:
    """Return the inked area, which the picture must be able to tell."""
    assert isinstance(found.inked_area, Quantity)
    return found.inked_area


def zone_corner(paper: str = "a4") -> tuple[float, float]:
    """Return the top left corner of the zone, in metres."""
    zone = sheet_layout(paper).zone
    return zone.left, zone.top
