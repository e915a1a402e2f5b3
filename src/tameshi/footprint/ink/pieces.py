"""Sort the pieces of ink in the overview: patches of the print, and what is set aside.

Pieces closer than a skin gap belong together. A patch is large, thick and as dark as the rest; a
droplet or speck is small, a line is thin, a stain is faint, a border runs along the edge of a scan.
A patch that reaches the edge of the zone is cut off, and then no area can be given.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.find import Ink
from tameshi.footprint.ink.steps import along_edge
from tameshi.footprint.picture.arrays import Labels, Where
from tameshi.footprint.picture.connected import Connected, connected
from tameshi.footprint.results.settings import FootprintSettings

_OF_LARGEST = 0.3  # a print of small patches: as large as this beside the largest is a patch too
_SMALLEST_PRINT = 1e-6  # square metres
_THINNEST = 0.0019  # metres: skin leaves no thinner patch
_WIDEST_LINE = 0.004  # metres: joined across skin gaps, one line or two are thinner
_EDGE_LENGTH = 1.1  # pixels of length for each pixel of an edge, over all directions
_LONG = 4.0  # times as long as wide
_NOISE = 1  # pixels of the overview: a single one is nothing
_SPECK = 0.3e-6  # square metres
_AROUND = 3  # pixels of the overview around a piece that its blur may reach
_EDGE = 1  # pixels of the overview that count as its edge


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of ink in the overview.

    Parameters
    ----------
    label : int
    kind : str
        ``"patch"``, or why it is set aside: ``"droplet"``, ``"speck"``, ``"smear"``, ``"line"``,
        ``"stain"``, ``"border"``.
    area : float
        In square metres as drawn.
    box : (int, int, int, int)
        First column and row, columns and rows, in pixels of the overview.
    centre : (float, float)
        Column and row.
    darkness : float
        Of its ink, as a share of the paper's light.
    cover : float
        Area that perfect black of the same effect would have, in square metres.
    """

    label: int
    kind: str
    area: float
    box: tuple[int, int, int, int]
    centre: tuple[float, float]
    darkness: float
    cover: float


@dataclass(frozen=True, slots=True)
class Pieces:
    """All pieces, and the picture of their labels.

    Parameters
    ----------
    labels : (h, w) array of int32
    patches, others : tuple of Piece
        Largest first.
    """

    labels: Labels
    patches: tuple[Piece, ...]
    others: tuple[Piece, ...]


def sort_pieces(ink: Ink, settings: FootprintSettings, *, framed: bool) -> Pieces:
    """Join pieces across skin gaps and sort them into patches and the rest.

    Parameters
    ----------
    ink : Ink
    settings : FootprintSettings
    framed : bool
        Whether the picture is the inside of the target sheet's frame: no scanner's lid shows there.
    """
    side = max(1, round(settings.gap / ink.scale))
    joined = cv2.morphologyEx(ink.pieces, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8))
    apart = connected(np.asarray(joined, np.uint8))
    found = [_described(ink, apart, n) for n in range(1, apart.count) if apart.areas[n] > _NOISE]
    if not framed:
        borders = along_edge(apart.labels, apart.count)
        found = [replace(piece, kind="border") if borders[piece.label] else piece for piece in found]
    by_size = sorted(_sorted(found, settings), key=lambda piece: -piece.area)
    return Pieces(
        apart.labels,
        tuple(piece for piece in by_size if piece.kind == "patch"),
        tuple(piece for piece in by_size if piece.kind != "patch"),
    )


def require_whole(pieces: Pieces, region: Box, scale: float, *, edge: str) -> None:
    """Refuse a print that touches the edge of where it is looked for.

    Parameters
    ----------
    pieces : Pieces
    region : Box
        What the overview shows, in metres.
    scale : float
        Metres a pixel.
    edge : str
        What that edge is called: "the frame of the zone".

    Raises
    ------
    UnmeasurableError
        ``print-cut-off``.
    """
    height, width = pieces.labels.shape
    for piece in pieces.patches:
        left, top, columns, rows = piece.box
        touched = {
            "left": left <= _EDGE,
            "top": top <= _EDGE,
            "right": left + columns >= width - _EDGE,
            "bottom": top + rows >= height - _EDGE,
        }
        sides = [side for side, touches in touched.items() if touches]
        if sides:
            x = (region.left + (left + 0.5 * columns) * scale) * 1000.0
            y = (region.top + (top + 0.5 * rows) * scale) * 1000.0
            raise UnmeasurableError(
                "print-cut-off",
                f"The print reaches {edge} at its {' and '.join(sides)} (patch around x = {x:.0f} mm, "
                f"y = {y:.0f} mm): its area would be a lower bound only.",
                hint="Strike again nearer the middle, or bring the whole print into the picture.",
            )


def _described(ink: Ink, apart: Connected, label: int) -> Piece:
    labels, pixels = apart.labels, int(apart.areas[label])
    left, top, columns, rows = (int(value) for value in apart.boxes[label])
    centre = (float(apart.centres[label, 0]), float(apart.centres[label, 1]))
    window = (slice(top, top + rows), slice(left, left + columns))
    own = labels[window] == label
    cover = ink.cover[window][own]
    darkness = float(np.quantile(cover, 0.75))
    area = float(pixels) * ink.scale**2
    width = _width(own & (ink.pieces[window] > 0)) * ink.scale
    if _width(own) * ink.scale > _WIDEST_LINE:  # strokes side by side: ridges
        width = max(width, _THINNEST)
    kind = _shape((columns, rows), area, width, ink.scale)
    return Piece(
        label, kind, area, (left, top, columns, rows), centre, darkness, _cover(ink, labels, label, window)
    )


def _width(own: Where) -> float:
    """Return the mean width of a piece taken as a stroke, in pixels: twice its area over its edge."""
    inside = cv2.erode(own.astype(np.uint8), np.ones((3, 3), np.uint8), borderValue=0)
    whole = float(np.count_nonzero(own))
    edge = whole - float(np.count_nonzero(inside))
    return 2.0 * whole / (_EDGE_LENGTH * max(edge, 1.0))


def _cover(ink: Ink, labels: Labels, label: int, window: tuple[slice, slice]) -> float:
    """Return what a piece takes away, with the paler pixels around it, in square metres of black."""
    around = tuple(slice(max(0, part.start - _AROUND), part.stop + _AROUND) for part in window)
    own = np.isin(labels[around], (0, label))
    return float(ink.cover[around][own].sum()) * ink.scale**2


def _shape(size: tuple[int, int], area: float, width: float, scale: float) -> str:
    """Return what a piece's size and shape make of it."""
    columns, rows = size
    length = max(columns, rows) * scale
    if width < _THINNEST and length > _LONG * max(width, scale):
        return "line"
    if area < _SPECK:
        return "speck"
    return "droplet" if length < _LONG * max(area / length, scale) else "smear"


def _sorted(found: list[Piece], settings: FootprintSettings) -> list[Piece]:
    """Promote what is large and dark enough to a patch."""
    able = [piece for piece in found if piece.kind in ("droplet", "smear", "speck")]
    if not able:
        return found
    main = max(able, key=lambda piece: piece.area * piece.darkness)
    if main.darkness <= 0.0:
        return found
    least = max(min(settings.smallest_patch, _OF_LARGEST * main.area), _SMALLEST_PRINT)
    result = []
    for piece in found:
        # blur has made small pieces larger and paler: what they take away stays the same
        taken = max(0.0, piece.cover) / max(main.darkness, piece.darkness)
        large = piece in able and min(piece.area, taken) >= least * min(1.0, piece.darkness / main.darkness)
        if large and piece.darkness < settings.faint * main.darkness:
            result.append(replace(piece, kind="stain"))
        elif large:
            result.append(replace(piece, kind="patch"))
        elif piece in able:
            result.append(replace(piece, area=taken))
        else:
            result.append(piece)
    return result
