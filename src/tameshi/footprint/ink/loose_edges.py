"""Edges that no piece of ink explains: of a hard shadow, a fold, or a print too pale to be found.

Every sharp step in the overview should lie along a piece that was found, counted or set aside. A long
one that does not is told. Where the print's outline follows it, paper in shadow was taken for ink, or
ink in the light for paper, and the print is refused; so it is where the edge is as strong as the ink's.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.find import Ink
from tameshi.footprint.ink.leaks import without_holes
from tameshi.footprint.ink.pieces import Pieces
from tameshi.footprint.picture.arrays import Mask

_WEAKEST = 0.06  # of the logarithm of light
_OVER_NOISE = 3.5  # times what changes everywhere
_OWN = 0.0026  # metres around a piece in which steps are its own
_LONG = 0.010  # metres: shorter edges say nothing
_MEETS = 0.0015  # metres from where the print's own steps end
_FOLLOWED = 0.05  # of the print's edge: so much of it is the loose edge's own going on
_STRONGER = 0.9  # patches paler than the rest are lost beside an edge so strong
_WORTH_SAYING = 0.15
_LIKE_OWN = 0.8  # of the ink's own step
_EDGE = 2  # pixels of the overview along its edge that say nothing


@dataclass(frozen=True, slots=True)
class _LooseEdge:
    """An edge: length and place in metres, how strong beside the ink's, whether it meets the print."""

    length: float
    place: tuple[float, float]
    strength: float
    meets: bool


def _loose_edges(ink: Ink, pieces: Pieces, region: Box) -> tuple[_LooseEdge, ...]:
    """Return the long steps that lie along no piece, strongest first."""
    found = np.asarray(pieces.labels > 0, np.uint8)
    patches = np.isin(pieces.labels, [piece.label for piece in pieces.patches]).astype(np.uint8)
    own = _step_of(ink, patches)
    if own <= 0.0:
        return ()
    size = ink.steps
    needed = max(_WEAKEST, _OVER_NOISE * float(np.median(size[::3, ::3])), _WORTH_SAYING * own)
    loose = (size > needed) & (_around(without_holes(found), _OWN, ink.scale) == 0)
    if pieces.hidden is not None:
        loose &= _around(pieces.hidden, _OWN, ink.scale) == 0
    loose[:_EDGE] = loose[-_EDGE:] = loose[:, :_EDGE] = loose[:, -_EDGE:] = False
    if not loose.any():
        return ()
    near = _around(without_holes(patches), _OWN + _MEETS, ink.scale)
    count, labels, stats, centres = cv2.connectedComponentsWithStats(loose.astype(np.uint8), connectivity=8)
    edges = []
    for n in range(1, count):
        length = float(np.hypot(stats[n, cv2.CC_STAT_WIDTH], stats[n, cv2.CC_STAT_HEIGHT])) * ink.scale
        if length < _LONG:
            continue
        here = labels == n
        x, y = centres[n]
        place = (region.left + (float(x) + 0.5) * ink.scale, region.top + (float(y) + 0.5) * ink.scale)
        strength = float(np.median(size[here])) / own
        edges.append(_LooseEdge(length, place, strength, bool(np.any(near[here]))))
    return tuple(sorted(edges, key=lambda edge: -edge.strength))


def _weak_share(ink: Ink, pieces: Pieces, strength: float) -> float:
    """Return how much of the patches' edge is as weak as half way from a loose edge to the ink's own."""
    patches = np.isin(pieces.labels, [piece.label for piece in pieces.patches]).astype(np.uint8)
    inside = cv2.erode(patches, np.ones((3, 3), np.uint8), borderValue=1)
    sizes = ink.steps[(patches > 0) & (inside == 0)]
    return float(np.mean(sizes < min(_LIKE_OWN, 0.5 * (1.0 + strength)) * np.median(sizes)))


def _step_of(ink: Ink, patches: Mask) -> float:
    """Return the usual step along the patches' edge."""
    inside = cv2.erode(patches, np.ones((3, 3), np.uint8), borderValue=1)
    edge = (patches > 0) & (inside == 0)
    return float(np.median(ink.steps[edge])) if edge.any() else 0.0


def _around(mask: Mask, by: float, scale: float) -> Mask:
    side = 2 * max(1, round(by / scale)) + 1
    return np.asarray(cv2.dilate(mask, np.ones((side, side), np.uint8)), np.uint8)


def edge_remark(ink: Ink, pieces: Pieces, region: Box) -> tuple[Flag, ...]:
    """Return a flag where there are long steps that lie along no piece.

    Parameters
    ----------
    ink : Ink
    pieces : Pieces
    region : Box
        What the overview shows, in metres.

    Raises
    ------
    UnmeasurableError
        ``shadow-edge`` where one meets the print and the print's outline follows it, or one as strong as the
        ink's lies anywhere.
    """
    edges = _loose_edges(ink, pieces, region)
    if not edges:
        return ()
    bad = [
        edge
        for edge in edges
        if edge.strength >= _STRONGER or (edge.meets and _weak_share(ink, pieces, edge.strength) > _FOLLOWED)
    ]
    worst = bad[0] if bad else edges[0]
    x, y = (1000.0 * way for way in worst.place)
    message = (
        f"An edge {worst.length * 1000.0:.0f} mm long around x = {x:.0f} mm, y = {y:.0f} mm, "
        f"{100.0 * worst.strength:.0f} % as strong as that of the ink, is none of the ink that was found"
    )
    if bad:
        raise UnmeasurableError(
            "shadow-edge",
            f"{message}: a hard shadow, most likely. Ink in the light and paper in the shadow look alike.",
            hint="Photograph it again with the whole print in the light, or all in the shadow, and no hard "
            "edge of a shadow across the paper.",
        )
    return (Flag("loose-edge", f"{message}: a shadow, a fold, or a print too pale to be found."),)
