"""A picture of the measured print: outlines, patch numbers, areas, a scale bar.

Made to be read on a phone: the print fills the picture, lines are thick, and every word stands on
its own light ground. What the ink looked like stays visible, so that a person can check the outline.
"""

import math

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tameshi.footprint.light import Pixels
from tameshi.footprint.model import Footprint, Patch
from tameshi.quantity import show

_LONG_SIDE = 1280  # pixels of the picture
_MOST_ENLARGED = 6.0
_OUTLINE = (214, 40, 120)
_GROUND, _WORDS = (255, 255, 255), (20, 20, 20)
_ROUND_LENGTHS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1)  # metres
_BAR_SHARE = 0.3  # of the picture's width, at most
_LEAST_WIDTH = 640  # pixels: narrower pictures get white at their side, for the words


def draw_overlay(footprint: Footprint) -> Pixels:
    """Return the rectified print with what was measured drawn on it.

    Returns
    -------
    (h, w, 3) array of uint8
        Red, green and blue; the longer side is about 1280 pixels.
    """
    rows, columns = footprint.picture.shape[:2]
    zoom = min(_LONG_SIDE / max(rows, columns), _MOST_ENLARGED)
    size = (max(1, round(columns * zoom)), max(1, round(rows * zoom)))
    way = cv2.INTER_AREA if zoom < 1.0 else cv2.INTER_CUBIC
    picture = np.asarray(cv2.resize(footprint.picture, size, interpolation=way), np.uint8)
    a_metre = size[0] / footprint.box.width
    line = max(2, round(max(size) / 400.0))
    for patch in footprint.patches:
        _outline(picture, footprint, patch, a_metre, line)
    letters = max(18, round(max(size) / 40.0))
    canvas = _framed(picture, letters)
    draw = ImageDraw.Draw(canvas)
    for patch in footprint.patches:
        _number(draw, footprint, patch, a_metre, letters)
    _words(draw, footprint, size[1], letters)
    _scale_bar(draw, (canvas.width, size[1]), a_metre, letters)
    return np.asarray(canvas, np.uint8)


def _outline(picture: Pixels, footprint: Footprint, patch: Patch, a_metre: float, line: int) -> None:
    corner = np.array([footprint.box.left, footprint.box.top])
    curves = [np.rint((curve - corner) * a_metre).astype(np.int32) for curve in patch.outlines]
    cv2.polylines(picture, curves, isClosed=True, color=_GROUND, thickness=line + 2, lineType=cv2.LINE_AA)
    cv2.polylines(picture, curves, isClosed=True, color=_OUTLINE, thickness=line, lineType=cv2.LINE_AA)


def _framed(picture: Pixels, letters: int) -> Image.Image:
    """Return the picture on a white sheet with room for words below."""
    rows, columns = picture.shape[:2]
    sheet = Image.new("RGB", (max(columns, _LEAST_WIDTH), rows + 6 * letters), _GROUND)
    sheet.paste(Image.fromarray(picture), (0, 0))
    return sheet


def _number(
    draw: ImageDraw.ImageDraw, footprint: Footprint, patch: Patch, a_metre: float, letters: int
) -> None:
    x = (patch.centroid[0] - footprint.box.left) * a_metre
    y = (patch.centroid[1] - footprint.box.top) * a_metre
    _label(draw, (x, y), f"{patch.index}: {_both(patch)}", letters)


def _both(patch: Patch) -> str:
    si, us = show(patch.contact_area, "si"), show(patch.contact_area, "us")
    return f"{si.value} {si.unit} · {us.value} {us.unit}"


def _words(draw: ImageDraw.ImageDraw, footprint: Footprint, top: int, letters: int) -> None:
    """Write the sums below the picture."""
    font = _font(letters)
    lines = []
    for name, area in (("contact", footprint.contact_area), ("inked", footprint.inked_area)):
        si, us = show(area, "si"), show(area, "us")
        lines.append(f"{name}: {si.value} ({si.low} to {si.high}) {si.unit} · {us.value} {us.unit}")
    if footprint.flags:
        lines.append("flags: " + ", ".join(flag.code for flag in footprint.flags))
    for n, line in enumerate(lines):
        draw.text((0.5 * letters, top + (2.2 + 1.2 * n) * letters), line, font=font, fill=_WORDS)


def _scale_bar(draw: ImageDraw.ImageDraw, size: tuple[int, int], a_metre: float, letters: int) -> None:
    fitting = [length for length in _ROUND_LENGTHS if length * a_metre <= _BAR_SHARE * size[0]]
    length = max(fitting, default=_ROUND_LENGTHS[0])
    x, y = 0.5 * letters, size[1] + 0.7 * letters
    end = x + length * a_metre
    thick = max(2, letters // 8)
    draw.line([(x, y), (end, y)], fill=_WORDS, width=thick)
    for tick in (x, end):
        draw.line([(tick, y - 0.35 * letters), (tick, y + 0.35 * letters)], fill=_WORDS, width=thick)
    inches = length / 0.0254
    words = f"{length * 1000.0:.0f} mm ({inches:.2f} in)"
    draw.text((end + 0.6 * letters, y - 0.6 * letters), words, font=_font(letters), fill=_WORDS)


def _label(draw: ImageDraw.ImageDraw, middle: tuple[float, float], words: str, letters: int) -> None:
    """Write words on a light ground, kept inside the picture."""
    font = _font(letters)
    left, top, right, bottom = draw.textbbox((0, 0), words, font=font)
    width, height = right - left, bottom - top
    room = draw.im.size if draw.im is not None else (math.inf, math.inf)
    x = min(max(middle[0] - 0.5 * width, 4.0), max(4.0, room[0] - width - 4.0))
    y = min(max(middle[1] - 0.5 * height, 4.0), max(4.0, room[1] - height - 4.0))
    draw.rectangle([x - 4, y - 3, x + width + 4, y + height + 5], fill=_GROUND)
    draw.text((x - left, y - top), words, font=font, fill=_WORDS)


def _font(letters: int) -> ImageFont.FreeTypeFont | ImageFont.ImageFont:
    return ImageFont.load_default(letters)
