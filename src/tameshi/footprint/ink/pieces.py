"""Sort the pieces of ink in the overview: patches of the print, and what is set aside.

Pieces closer than a skin gap belong together. A patch is large, thick and as dark as the rest; a
droplet or speck is small, a line is thin, a stain is faint, a border runs along the edge of a scan.
A patch that reaches the edge of the zone is cut off, and then no area can be given.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np
from scipy import ndimage

from tameshi.errors import UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.find import Ink
from tameshi.footprint.ink.steps import along_edge
from tameshi.footprint.ink.strokes import cut_bodies, cut_tails
from tameshi.footprint.picture.arrays import Labels, Mask, Where
from tameshi.footprint.results.settings import FootprintSettings

FINGER_MARK = "finger-mark"
"""Kind of a piece that a finger left at the rim of the sheet."""

_OF_LARGEST = 0.3  # a print of small patches: as large as this beside the largest is a patch too
_SMALLEST_PRINT = 1e-6  # square metres
_THINNEST = 0.0019  # metres: skin leaves no thinner patch
_WIDEST_LINE = 0.004  # metres: joined across skin gaps, one line or two are thinner
_EDGE_LENGTH = 1.1  # pixels of length for each pixel of an edge, over all directions
_LONG = 4.0  # times as long as wide
_NOISE = 1  # pixels of the overview: a single one is nothing
_SPECK = 0.3e-6  # square metres
_MOSTLY = 0.5
_AROUND = 3  # pixels of the overview around a piece that its blur may reach
_EDGE = 1  # pixels of the overview that count as its edge
_DARKEST = 1e-3  # of the paper's light: darkness is never less
_PICTURES_EDGE = "the edge of the picture"


@dataclass(frozen=True, slots=True)
class Piece:
    """One piece of ink in the overview.

    Parameters
    ----------
    label : int
    kind : str
        ``"patch"``, or why it is set aside: ``"droplet"``, ``"speck"``, ``"smear"``, ``"line"``,
        ``"stain"``, ``"border"``, ``"finger-mark"``.
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
    width : float
        Mean width, taken as a stroke, in metres.
    """

    label: int
    kind: str
    area: float
    box: tuple[int, int, int, int]
    centre: tuple[float, float]
    darkness: float
    cover: float
    width: float


@dataclass(frozen=True, slots=True)
class Pieces:
    """All pieces, and the picture of their labels.

    Parameters
    ----------
    labels : (h, w) array of int32
    patches, others : tuple of Piece
        Largest first.
    hidden : (h, w) array of uint8 or None
        1 where the paper is not in the picture; None where all of it is.
    """

    labels: Labels
    patches: tuple[Piece, ...]
    others: tuple[Piece, ...]
    hidden: Mask | None = None


def middle_of(piece: Piece, region: Box, scale: float) -> tuple[float, float]:
    """Return where the middle of a piece lies on the paper, across and down, in metres as drawn.

    Parameters
    ----------
    piece : Piece
    region : Box
        What the overview shows, in metres.
    scale : float
        Metres a pixel.
    """
    x, y = piece.centre
    return region.left + (x + 0.5) * scale, region.top + (y + 0.5) * scale


def sort_pieces(ink: Ink, settings: FootprintSettings, *, framed: bool, hidden: Mask | None = None) -> Pieces:
    """Join pieces across skin gaps and sort them into patches and the rest.

    Parameters
    ----------
    ink : Ink
    settings : FootprintSettings
    framed : bool
        Whether the picture is the inside of the target sheet's frame: no scanner's lid shows there.
    hidden : (h, w) array of uint8 or None
        1 where the paper is not in the picture, whose outermost pixels are repeated there.
    """
    if hidden is not None:
        seen = np.asarray(hidden == 0, np.uint8)
        ink = replace(ink, pieces=ink.pieces * seen, pale=ink.pale * seen)
    side = max(1, round(settings.gap / ink.scale))
    inked = np.maximum(ink.pieces, ink.pale)
    joined = cv2.morphologyEx(inked, cv2.MORPH_CLOSE, np.ones((side, side), np.uint8))
    _, labels = cv2.connectedComponents(joined, connectivity=8)
    numbered = np.asarray(labels, np.int32)
    found = _parted(ink, numbered, _all_described(ink, numbered), settings)
    if not framed:
        borders = along_edge(numbered, int(numbered.max()) + 1)
        found = [replace(piece, kind="border") if borders[piece.label] else piece for piece in found]
    by_size = sorted(_sorted(found, settings), key=lambda piece: -piece.area)
    return Pieces(
        numbered,
        tuple(piece for piece in by_size if piece.kind == "patch"),
        tuple(piece for piece in by_size if piece.kind != "patch"),
        hidden,
    )


def _all_described(ink: Ink, labels: Labels, only: tuple[int, ...] = ()) -> list[Piece]:
    """Describe all pieces, or only some."""
    boxes = ndimage.find_objects(labels)
    found = []
    for n in only or range(1, len(boxes) + 1):
        box = boxes[n - 1]
        if box is None:
            continue
        rows, columns = (np.asarray(way, np.int32) for way in np.nonzero(labels[box] == n))
        if len(rows) > _NOISE:
            found.append(_described(ink, labels, n, box, (rows, columns)))
    return found


def _parted(ink: Ink, labels: Labels, found: list[Piece], settings: FootprintSettings) -> list[Piece]:
    """Part strokes from the print that they touch; ``labels`` are changed."""
    changed: set[int] = set()
    for piece in found:
        if piece.area < settings.smallest_patch or piece.kind == "stain":
            continue
        if piece.kind == "line":
            about = (ink.scale, settings.smallest_patch)
            new = cut_bodies(labels, piece.label, ink.pieces, about, stroke=piece.width)
        else:
            new = cut_tails(labels, piece.label, ink.scale)
        if new:
            changed |= {piece.label, *new}
    if not changed:
        return found
    same = [piece for piece in found if piece.label not in changed]
    return [*same, *_all_described(ink, labels, tuple(sorted(changed)))]


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
    for piece in pieces.patches:
        sides, by_picture = sides_reached(piece, pieces)
        if sides:
            left, top, columns, rows = piece.box
            x = (region.left + (left + 0.5 * columns) * scale) * 1000.0
            y = (region.top + (top + 0.5 * rows) * scale) * 1000.0
            raise UnmeasurableError(
                "print-cut-off",
                f"The print reaches {_PICTURES_EDGE if by_picture else edge} at its {' and '.join(sides)} "
                f"(patch around x = {x:.0f} mm, y = {y:.0f} mm{_beside_others(piece, pieces)}): its area "
                "would be a lower bound only.",
                hint="Strike again nearer the middle, or bring the whole print into the picture. What is no "
                f'print can be left out by hand: --leave-out "{x:.0f},{y:.0f}".',
            )


def _beside_others(piece: Piece, pieces: Pieces) -> str:
    """Say what a piece at the edge is beside patches that lie wholly inside; empty where there are none."""
    whole = [other for other in pieces.patches if not sides_reached(other, pieces)[0]]
    if not whole:
        return ""
    main = max(whole, key=lambda other: other.area)
    number = f"{len(whole)} other patch{'es' if len(whole) > 1 else ''}"
    share = 100.0 * piece.darkness / max(main.darkness, _DARKEST)
    return (
        f", {piece.area * 1e6:.0f} mm² of it in view, {share:.0f} % as dark as the largest of {number} that "
        f"lie{'' if len(whole) > 1 else 's'} wholly inside"
    )


def sides_reached(piece: Piece, pieces: Pieces) -> tuple[tuple[str, ...], bool]:
    """Return at which sides a piece reaches the edge of the region, and whether that is the picture's.

    Parameters
    ----------
    piece : Piece
    pieces : Pieces
    """
    height, width = pieces.labels.shape
    left, top, columns, rows = piece.box
    touched = {
        "left": left <= _EDGE,
        "top": top <= _EDGE,
        "right": left + columns >= width - _EDGE,
        "bottom": top + rows >= height - _EDGE,
    }
    sides = tuple(side for side, touches in touched.items() if touches)
    if pieces.hidden is None:
        return sides, False
    hidden = cv2.dilate(pieces.hidden, np.ones((2 * _EDGE + 3, 2 * _EDGE + 3), np.uint8))
    window = (slice(top, top + rows), slice(left, left + columns))
    y, x = np.nonzero((pieces.labels[window] == piece.label) & (hidden[window] > 0))
    if not len(x):
        return sides, False
    across, down = float(x.mean()) - 0.5 * columns, float(y.mean()) - 0.5 * rows
    if abs(across) > abs(down):
        return (("left" if across < 0.0 else "right"),), True
    return (("top" if down < 0.0 else "bottom"),), True


def _described(
    ink: Ink,
    labels: Labels,
    label: int,
    window: tuple[slice, slice],
    inside: tuple[Labels, Labels],
) -> Piece:
    """Describe a piece in a window of the labels, inside which it has these rows and columns."""
    rows, columns = inside
    own = labels[window] == label
    top, left = window[0].start, window[1].start
    size = (own.shape[1], own.shape[0])
    darkness = float(np.quantile(ink.cover[window][own], 0.75))
    area = len(rows) * ink.scale**2
    width = _width(own & (ink.pieces[window] > 0)) * ink.scale
    if _width(own) * ink.scale > _WIDEST_LINE:  # strokes side by side: ridges
        width = max(width, _THINNEST)
    kind = _shape(size, area, width, ink.scale)
    if float(ink.pale[window][own].mean()) > _MOSTLY:
        kind = "stain"
    centre = (left + float(columns.mean()), top + float(rows.mean()))
    cover = _cover(ink, labels, label, window)
    return Piece(label, kind, area, (left, top, *size), centre, darkness, cover, width)


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
