"""Take the printed lines of squared paper out of a picture.

How dark each line is across its width is measured where it lies on bare paper, stretch by stretch
along it, in each colour; the light in the picture is divided by that. Ink lets a printed line show
through as paper does, so ink that crosses lines stays ink, and its edge stays where it was.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane
from tameshi.footprint.picture.arrays import FloatArray, Labels, Picture, Pixels
from tameshi.footprint.picture.light import LINEAR
from tameshi.footprint.picture.view import View

_FINER = 1.8  # pixels of the flat copy for each of the picture's
_FEWEST_TILE, _MOST_TILE = 6, 160  # pixels a pitch in the flat copy
_MOST_PIXELS = 9e6
_STRETCH = 0.02  # metres along a line over which it is averaged
_SIDE = 0.3  # of the pitch from a line: paper
_OFF_CROSSING = 0.25  # of the pitch: nearer to a crossing the other line shows
_EVEN = 0.12  # ground on both sides of a line may differ by so much where it is measured
_BARE = 0.6  # of bright paper: darker ground is inked
_GROUND = 0.1  # of bright paper: darker ground is none
_FEWEST = 4  # values for a median
_DARKEST_LINE, _BRIGHTEST_LINE = 0.1, 1.15  # of the paper's light
_HALF = 0.5  # of a pitch: so far the outermost lines are known
_ENCODING = 4096
_ROWS = 256  # of the picture, done at once


@dataclass(frozen=True, slots=True)
class _Family:
    """Lines of one direction: what part of the light each lets through.

    ``through`` is (stretches, lines * tile, 3); ``along`` pitches a stretch.
    """

    through: Picture
    along: float


def without_lines(view: View, plane: Plane, board: tuple[int, int], pitch: float) -> Pixels:
    """Return the picture with the printed lines taken out where the squares reach.

    Parameters
    ----------
    view : View
        The straightened picture.
    plane : Plane
        From metres, counted from the first crossing on the paper, to its pixels.
    board : (int, int)
        Squares across and down, beyond the picture too.
    pitch : float
        In metres.

    Returns
    -------
    (h, w, 3) array of uint8
    """
    tile = _tile(plane, board, pitch)
    box = Box(0.0, 0.0, board[0] * pitch, board[1] * pitch).grown(0.5 * pitch)
    flat = np.asarray(
        cv2.LUT(_flat(view.pixels, plane, box, (board, pitch / tile), tile), LINEAR), np.float32
    )
    families = (
        _family(flat, tile, pitch),
        _family(np.ascontiguousarray(flat.transpose(1, 0, 2)), tile, pitch),
    )
    again = _twice_printed(flat, families, tile)
    return _divided(view.pixels, plane, (families, tile, again), (board, pitch))


def _flat(pixels: Pixels, plane: Plane, box: Box, about: tuple[tuple[int, int], float], tile: int) -> Pixels:
    """Return the paper as if seen from above; finely interpolated, so that lines stay as dark as they are."""
    board, side = about
    offset = np.array(
        [[side, 0.0, box.left + 0.5 * side], [0.0, side, box.top + 0.5 * side], [0.0, 0.0, 1.0]]
    )
    size = ((board[0] + 1) * tile, (board[1] + 1) * tile)
    how = cv2.INTER_CUBIC | cv2.WARP_INVERSE_MAP
    matrix = plane.matrix @ offset
    return np.asarray(
        cv2.warpPerspective(pixels, matrix, size, flags=how, borderMode=cv2.BORDER_CONSTANT), np.uint8
    )  # black beyond the picture: no ground to measure lines on


def _tile(plane: Plane, board: tuple[int, int], pitch: float) -> int:
    """Return how many pixels a pitch the flat copy has: about as many as the picture."""
    corners = np.array([(0.0, 0.0), (1.0, 0.0), (1.0, 1.0), (0.0, 1.0)]) * board * pitch
    lifted = np.column_stack([corners, np.ones(4)]) @ plane.matrix.T
    seen = (lifted[:, :2] / lifted[:, 2:]).astype(np.float32)
    pixels = min(float(cv2.contourArea(seen)), _MOST_PIXELS)
    return int(np.clip(round(np.sqrt(_FINER * pixels / (board[0] * board[1]))), _FEWEST_TILE, _MOST_TILE))


def _family(flat: Picture, tile: int, pitch: float) -> _Family:
    """Measure the lines that run down the flat copy."""
    rows, columns = flat.shape[0], flat.shape[1] // tile
    squares = max(1, round(_STRETCH / pitch))
    count = max(1, round(rows / tile / squares))
    away = (np.arange(tile) + 0.5) / tile - 0.5
    clear = np.abs(np.mod(np.arange(rows) + 0.5, tile) / tile - 0.5) > _OFF_CROSSING
    sides = [np.abs(away - side * 0.5) < 0.5 - _SIDE for side in (-1.0, 1.0)]
    cells = flat.reshape(rows, columns, tile, 3)
    bright = np.quantile(cells[::7, :, sides[0]].reshape(-1, 3), 0.9, axis=0)
    through = np.ones((count, columns, tile, 3), np.float32)
    known = np.zeros((count, columns), np.float32)
    for n, part in enumerate(np.array_split(np.arange(rows), count)):
        some = cells[part[clear[part]]]
        left, right = (np.median(some[:, :, side], axis=2) for side in sides)
        share = ((away - away[sides[0]].mean()) / (away[sides[1]].mean() - away[sides[0]].mean())).astype(
            np.float32
        )
        ground = left[:, :, None] + (right - left)[:, :, None] * share[:, None]
        even = (np.abs(right - left) <= _EVEN * np.maximum(left, right)).all(axis=2)
        lit = ground.mean(axis=2)
        # within a stretch light changes little: what is much darker than the brightest ground is inked
        bare = (lit > _BARE * np.quantile(lit, 0.9, axis=(0, 1))).all(axis=2) & (lit > _GROUND * bright).all(
            axis=2
        )
        good = even & bare
        parts = some / np.maximum(ground, 1e-3)
        parts[~good] = np.nan
        enough = good.sum(axis=0) >= _FEWEST
        through[n][enough] = np.nanmedian(parts[:, enough], axis=0)
        known[n] = enough
    return _Family(_everywhere(through, known), rows / tile / count)


def _everywhere(through: Picture, known: Picture) -> Picture:
    """Carry lines on over stretches where ink hides them: the same line first, its neighbours else."""
    count, columns, tile, _ = through.shape
    own = known.sum(axis=0)
    usual = (through * known[:, :, None, None]).sum(axis=0) / np.maximum(own, 1.0)[:, None, None]
    all_lines = np.median(usual[own > 0], axis=0) if (own > 0).any() else np.ones((tile, 3), np.float32)
    usual[own == 0] = all_lines
    filled = np.where(known[:, :, None, None] > 0, through, usual[None])
    bounded = np.clip(filled, _DARKEST_LINE, _BRIGHTEST_LINE)
    return np.ascontiguousarray(bounded.reshape(count, columns * tile, 3).astype(np.float32))


def _twice_printed(flat: Picture, families: tuple[_Family, _Family], tile: int) -> float:
    """Return how much of the paler line adds to the darker where two cross: 0 where ink is laid once."""
    half = tile // 2
    centres = flat[half::tile, half::tile]
    rows, columns = (np.arange(n, dtype=np.int32) for n in centres.shape[:2])
    paper = flat[::tile, ::tile][: len(rows), : len(columns)]
    one = families[0].through[:, half::tile][_stretch(rows, families[0])]
    other = families[1].through[:, half::tile][_stretch(columns, families[1])].transpose(1, 0, 2)
    seen = np.log(np.maximum(centres, 1e-3) / np.maximum(paper, 1e-3))
    darker, paler = (np.log(pick(one, other)) for pick in (np.minimum, np.maximum))
    lit = paper > _GROUND * np.quantile(paper, 0.9)  # ink and what lies beyond the picture say nothing
    plain = (paler < -0.02) & lit  # noqa: PLR2004  nor do lines that hardly show
    if np.count_nonzero(plain) < _FEWEST:
        return 1.0
    return float(np.clip(np.median((seen - darker)[plain] / paler[plain]), 0.0, 1.0))


def _stretch(number: Labels, family: _Family) -> Labels:
    return np.asarray(np.clip(number / family.along, 0, len(family.through) - 1), np.int32)


def _divided(
    pixels: Pixels,
    plane: Plane,
    known: tuple[tuple[_Family, _Family], int, float],
    lattice: tuple[tuple[int, int], float],
) -> Pixels:
    """Divide the picture's light by what the lines let through, some rows at a time."""
    (first, second), tile, again = known
    board, pitch = lattice
    inverse = np.linalg.inv(plane.matrix) / pitch
    inverse[2] *= pitch
    result = pixels.copy()
    encode = _encoding()
    height, width = pixels.shape[:2]
    x = np.arange(width, dtype=np.float64)
    for top in range(0, height, _ROWS):
        y = np.arange(top, min(top + _ROWS, height), dtype=np.float64)[:, None]
        depth = inverse[2, 0] * x + inverse[2, 1] * y + inverse[2, 2]
        across, down = ((inverse[n, 0] * x + inverse[n, 1] * y + inverse[n, 2]) / depth for n in (0, 1))
        on = (
            (across > -_HALF)
            & (across < board[0] + _HALF)
            & (down > -_HALF)
            & (down < board[1] + _HALF)
            & (depth > 0)
        )
        if not on.any():
            continue
        rows = slice(top, top + len(y))
        one = _let_through(first, across, down, tile)
        other = _let_through(second, down, across, tile)
        through = np.minimum(one, other) * np.maximum(one, other) ** np.float32(again)
        light = cv2.LUT(pixels[rows], LINEAR) / through
        number = np.clip(light * (_ENCODING - 1), 0, _ENCODING - 1).astype(np.int32)
        result[rows][on] = encode[number][on]
    return result


def _let_through(family: _Family, across: FloatArray, along: FloatArray, tile: int) -> Picture:
    """Return what part of the light a family of lines lets through at places in pitches."""
    x = ((across + 0.5) * tile - 0.5).astype(np.float32)
    y = ((along + 0.5) / family.along - 0.5).astype(np.float32)
    seen = cv2.remap(family.through, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE)
    return np.asarray(seen, np.float32)


def _encoding() -> Pixels:
    """Return the stored value of linear light in so many steps."""
    light = np.arange(_ENCODING) / (_ENCODING - 1.0)
    return np.asarray(np.rint(np.interp(light, LINEAR, np.arange(256))), np.uint8)
