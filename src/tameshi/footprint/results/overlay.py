"""A picture of the measured print: outlines, axes, patch numbers, areas, a scale bar.

Made to be read on a phone: the print fills the picture, lines are thick, and every word stands on
its own light ground. What the ink looked like stays visible, so that a person can check the outline.
"""

import math
from itertools import combinations

import cv2
import numpy as np
from PIL import Image, ImageDraw, ImageFont

from tameshi.footprint.picture.arrays import FloatArray, Pixels
from tameshi.footprint.results.model import Footprint, Patch, SeparatePrint
from tameshi.quantity import Missing, Quantity, show

_LONG_SIDE = 1280  # pixels of the picture
_MOST_ENLARGED = 6.0
_OUTLINE = (214, 40, 120)
_AXIS = (0, 120, 105)
_LEFT_OUT = (110, 110, 110)
_LASSO = (0, 90, 200)
_CROSS = 0.15  # of a patch's width and height: a cross begins so far inside
_DASH = 5  # times as long as the line is thick
_GROUND, _WORDS = (255, 255, 255), (20, 20, 20)
_ROUND_LENGTHS = (0.001, 0.002, 0.005, 0.01, 0.02, 0.05, 0.1)  # metres
_INCH = 0.0254  # metres
_BAR_SHARE = 0.3  # of the picture's width, at most
_LEAST_WIDTH = 640  # pixels: narrower pictures get white at their side, for the words
_MARGIN = 0.002  # metres between a print and the box around it

Rectangle = tuple[float, float, float, float]


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
    _left_out(picture, footprint, a_metre, line)
    for patch in footprint.patches:
        _outline(picture, footprint, patch, a_metre, line)
        _axes(picture, footprint, patch, a_metre, max(1, line // 2))
    for lasso in footprint.corrections.lassos:
        _dashed(picture, _drawn(np.asarray(lasso), footprint, a_metre), line, _LASSO)
    around = (
        [_around(footprint, one, a_metre) for one in footprint.prints] if len(footprint.prints) > 1 else []
    )
    for corners in around:
        _dashed(picture, corners, max(1, line // 2), _AXIS)
    letters = max(18, round(max(size) / 40.0))
    canvas = _framed(picture, letters)
    draw = ImageDraw.Draw(canvas)
    _numbers(draw, footprint, a_metre, letters)
    for number, corners in enumerate(around, start=1):
        _name(draw, number, corners, size[1], letters)
    _sums(draw, footprint, size[1], letters)
    _scale_bar(draw, canvas.width, size[1], a_metre, letters)
    return np.asarray(canvas, np.uint8)


def _outline(picture: Pixels, footprint: Footprint, patch: Patch, a_metre: float, line: int) -> None:
    curves = [np.rint(_drawn(curve, footprint, a_metre)).astype(np.int32) for curve in patch.outlines]
    cv2.polylines(picture, curves, isClosed=True, color=_GROUND, thickness=line + 2, lineType=cv2.LINE_AA)
    cv2.polylines(picture, curves, isClosed=True, color=_OUTLINE, thickness=line, lineType=cv2.LINE_AA)


def _axes(picture: Pixels, footprint: Footprint, patch: Patch, a_metre: float, line: int) -> None:
    """Draw the principal axes thinly; none where the patch points no way."""
    axes = patch.axes
    if not isinstance(axes.direction, Quantity):
        return
    middle = _drawn(np.asarray(patch.centroid), footprint, a_metre)
    ways = np.array([math.cos(axes.direction.value), math.sin(axes.direction.value)])
    for way, length in ((ways, axes.major), (np.array([-ways[1], ways[0]]), axes.minor)):
        reach = 0.5 * length.value * a_metre * way
        start, end = (tuple(int(one) for one in np.rint(middle + part * reach)) for part in (-1.0, 1.0))
        cv2.line(picture, start, end, _GROUND, line + 2, cv2.LINE_AA)
        cv2.line(picture, start, end, _AXIS, line, cv2.LINE_AA)


def _drawn(curve: FloatArray, footprint: Footprint, a_metre: float) -> FloatArray:
    """Return points on the paper in pixels of the overlay."""
    corner = np.array([footprint.box.left, footprint.box.top])
    return np.asarray((curve - corner) * a_metre)


def _left_out(picture: Pixels, footprint: Footprint, a_metre: float, line: int) -> None:
    """Cross out in grey what was left out by hand."""
    for curve in footprint.left_out:
        points = np.rint(_drawn(curve, footprint, a_metre)).astype(np.int32)
        low, high = points.min(axis=0), points.max(axis=0)
        (left, top), (right, bottom) = (
            (int(low[0] + part * (high[0] - low[0])), int(low[1] + part * (high[1] - low[1])))
            for part in (_CROSS, 1.0 - _CROSS)
        )
        for colour, thick in ((_GROUND, line + 2), (_LEFT_OUT, line)):
            cv2.polylines(
                picture, [points], isClosed=True, color=colour, thickness=thick, lineType=cv2.LINE_AA
            )
            cv2.line(picture, (left, top), (right, bottom), colour, thick, cv2.LINE_AA)
            cv2.line(picture, (left, bottom), (right, top), colour, thick, cv2.LINE_AA)


def _around(footprint: Footprint, one: SeparatePrint, a_metre: float) -> FloatArray:
    """Return the corners of a box around a print, in pixels of the overlay, within the picture."""
    rows, columns = footprint.picture.shape[:2]
    end = np.array([columns, rows]) * a_metre * footprint.box.width / columns - 2.0
    curves = np.concatenate([footprint.patches[n - 1].outlines[0] for n in one.patches])
    points = _drawn(curves, footprint, a_metre)
    margin = _MARGIN * a_metre
    left, top = np.maximum(points.min(axis=0) - margin, 1.0)
    right, bottom = np.minimum(points.max(axis=0) + margin, end)
    return np.array([(left, top), (right, top), (right, bottom), (left, bottom)])


def _dashed(picture: Pixels, corners: FloatArray, line: int, colour: tuple[int, int, int]) -> None:
    """Draw a dashed closed line."""
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        length = float(np.hypot(*(end - start)))
        dashes = max(1, round(length / (2.0 * _DASH * line)))
        for n in range(dashes):
            ends = [start + (end - start) * (n + part) / dashes for part in (0.0, 0.55)]
            first, last = (tuple(int(way) for way in np.rint(at)) for at in ends)
            cv2.line(picture, first, last, _GROUND, line + 2, cv2.LINE_AA)
            cv2.line(picture, first, last, colour, line, cv2.LINE_AA)


def _framed(picture: Pixels, letters: int) -> Image.Image:
    """Return the picture on a white sheet with room for words below."""
    rows, columns = picture.shape[:2]
    sheet = Image.new("RGB", (max(columns, _LEAST_WIDTH), rows + 6 * letters), _GROUND)
    sheet.paste(Image.fromarray(picture), (0, 0))
    return sheet


def _numbers(draw: ImageDraw.ImageDraw, footprint: Footprint, a_metre: float, letters: int) -> None:
    """Write each patch's number and area at its middle, on a light ground; where it is tight, the number."""
    patches = footprint.patches
    middles = [_drawn(np.asarray(patch.centroid), footprint, a_metre) for patch in patches]
    for words in (
        [f"{patch.index}: {_both(patch)}" for patch in patches],
        [f"{patch.index}" for patch in patches],
    ):
        placed = [_placed(draw, *each, letters) for each in zip(middles, words, strict=True)]
        if not any(_overlap(one, other) for one, other in combinations(placed, 2)):
            break
    for ground, said in zip(placed, words, strict=True):
        _label(draw, ground, said, letters)


def _placed(draw: ImageDraw.ImageDraw, middle: FloatArray, words: str, letters: int) -> Rectangle:
    """Return the ground of words around a middle, within the picture's width."""
    width = _written(draw, (0.0, 0.0), words, letters, dry=True)
    x = max(4.0, min(float(middle[0]) - 0.5 * width, _LONG_SIDE - width - 4.0))
    y = max(4.0, float(middle[1]) - 0.6 * letters)
    return x - 4.0, y - 3.0, x + width + 4.0, y + 1.25 * letters


def _label(draw: ImageDraw.ImageDraw, ground: Rectangle, words: str, letters: int) -> None:
    draw.rectangle(ground, fill=_GROUND)
    _written(draw, (ground[0] + 4.0, ground[1] + 3.0), words, letters)


def _name(draw: ImageDraw.ImageDraw, number: int, corners: FloatArray, bottom: float, letters: int) -> None:
    """Write a print's number under the box around it, or over it where there is no room."""
    low = float(corners[2, 1]) + 6.0
    y = low if low + 1.3 * letters < bottom else max(4.0, float(corners[0, 1]) - 1.5 * letters)
    x = float(corners[0, 0]) + 6.0
    words = f"print {number}"
    width = _written(draw, (0.0, 0.0), words, letters, dry=True)
    _label(draw, (x - 4.0, y - 3.0, x + width + 4.0, y + 1.25 * letters), words, letters)


def _overlap(one: Rectangle, other: Rectangle) -> bool:
    return one[0] < other[2] and other[0] < one[2] and one[1] < other[3] and other[1] < one[3]


def _both(patch: Patch) -> str:
    si, us = show(patch.contact_area, "si"), show(patch.contact_area, "us")
    return f"{si.value} {si.unit} · {us.value} {us.unit}"


def _sums(draw: ImageDraw.ImageDraw, footprint: Footprint, top: float, letters: int) -> None:
    """Write the sums below the picture."""
    lines = []
    for name, area in (("contact", footprint.contact_area), ("inked", footprint.inked_area)):
        if isinstance(area, Missing):
            lines.append(f"{name}: not given")
            continue
        si, us = show(area, "si"), show(area, "us")
        lines.append(f"{name}: {si.value} ({si.low} to {si.high}) {si.unit} · {us.value} {us.unit}")
    if footprint.flags:
        lines.append("flags: " + ", ".join(flag.code for flag in footprint.flags))
    for n, line in enumerate(lines):
        _written(draw, (0.5 * letters, top + (2.0 + 1.3 * n) * letters), line, letters)


def _scale_bar(draw: ImageDraw.ImageDraw, width: int, top: float, a_metre: float, letters: int) -> None:
    fitting = [length for length in _ROUND_LENGTHS if length * a_metre <= _BAR_SHARE * width]
    length = max(fitting, default=_ROUND_LENGTHS[0])
    x, y = 0.5 * letters, top + 0.8 * letters
    end = x + length * a_metre
    thick = max(2, letters // 8)
    draw.line([(x, y), (end, y)], fill=_WORDS, width=thick)
    for tick in (x, end):
        draw.line([(tick, y - 0.35 * letters), (tick, y + 0.35 * letters)], fill=_WORDS, width=thick)
    words = f"{length * 1000.0:.0f} mm ({length / _INCH:.2f} in)"
    _written(draw, (end + 0.6 * letters, y - 0.7 * letters), words, letters)


def _written(
    draw: ImageDraw.ImageDraw, at: tuple[float, float], words: str, letters: int, *, dry: bool = False
) -> float:
    """Write words and return their width; the font at hand has no raised two, so one is raised."""
    font, small = ImageFont.load_default(letters), ImageFont.load_default(0.65 * letters)
    x, y = at
    for n, part in enumerate(words.split("²")):
        if n:
            if not dry:
                draw.text((x, y), "2", font=small, fill=_WORDS)
            x += draw.textlength("2", font=small)
        if not dry:
            draw.text((x, y), part, font=font, fill=_WORDS)
        x += draw.textlength(part, font=font)
    return x - at[0]
