"""What a person corrects in the ink that was found: patches left out, pieces taken in, lassos.

Pieces of the overview are looked up by place first, so that what is left out cannot cut off a
print; patches that the close-up shows apart are told apart there.
"""

from dataclasses import dataclass, replace

import cv2
import numpy as np

from tameshi.errors import WrongUseError
from tameshi.footprint.geometry.box import Box
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.outline import Outline, depth_inside
from tameshi.footprint.ink.patches import number_patches
from tameshi.footprint.ink.pieces import Piece, Pieces, sides_reached
from tameshi.footprint.picture.arrays import FloatArray, Labels, Mask, Picture
from tameshi.footprint.results.corrections import Corrections, Place
from tameshi.footprint.results.model import SetAside

LEFT_OUT, OUTSIDE = "left-out", "outside-lasso"
_LEAST_CUT = 5  # pixels of the overview: less than that is the line's own raggedness
_REACH = 0.0006  # metres: a place so near to a patch is meant to be in it
_FINER = 4  # parts of a pixel, across and down, in which a lasso is drawn
_MM = 1e3


@dataclass(frozen=True, slots=True)
class Ground:
    """How pixels lie on the paper.

    Parameters
    ----------
    box : Box
        What the pixels show, in metres as drawn.
    scale : float
        Metres a pixel, as drawn.
    stretch : float
        True metres for each metre as drawn.
    """

    box: Box
    scale: float
    stretch: float

    def pixel(self, place: Place) -> tuple[int, int]:
        """Return column and row of a place in true metres."""
        x, y = (way / self.stretch for way in place)
        return int((x - self.box.left) // self.scale), int((y - self.box.top) // self.scale)

    def place(self, pixel: tuple[float, float]) -> Place:
        """Return the place of a column and a row, in true metres."""
        x = (self.box.left + (pixel[0] + 0.5) * self.scale) * self.stretch
        return x, (self.box.top + (pixel[1] + 0.5) * self.scale) * self.stretch

    def curve(self, pixels: FloatArray) -> FloatArray:
        """Return the places of columns and rows, (n, 2), in true metres."""
        corner = np.array([self.box.left, self.box.top])
        return np.asarray(((pixels + 0.5) * self.scale + corner) * self.stretch, np.float64)


def sort_by_hand(
    pieces: Pieces, corrections: Corrections, ground: Ground
) -> tuple[Pieces, tuple[Place, ...]]:
    """Take in, leave out and keep to the lassos, piece by piece.

    Parameters
    ----------
    pieces : Pieces
    corrections : Corrections
    ground : Ground
        Of the overview.

    Returns
    -------
    (Pieces, tuple of (float, float))
        And the places whose patches are still to be left out, close up.

    Raises
    ------
    WrongUseError
        ``no-patch-there``, ``no-ink-there``, ``lasso-empty``.
    """
    pieces = _take_in(pieces, corrections.take_in, ground)
    gone, later = set(), []
    for place in corrections.leave_out:
        piece = _patch_at(pieces, place, ground)
        if sides_reached(piece, pieces)[0]:
            gone.add(piece.label)
        else:
            later.append((place, piece.label))
    inside = _inside(corrections, ground, pieces.labels.shape)
    kept, out = [], []
    for piece in pieces.patches:
        if piece.label in gone:
            out.append(replace(piece, kind=LEFT_OUT))
        elif inside is None or piece.label in {label for _, label in later}:
            kept.append(piece)  # what is to be left out close up is shown whole there
        else:
            within = _within(piece, pieces.labels, inside)
            (kept if within.kind == piece.kind else out).append(within)
            out += _cut_off(piece, within, pieces.labels, inside)
    if inside is not None and pieces.patches and not kept:
        raise _lasso_empty()
    staying = {piece.label for piece in kept}
    sorted_anew = replace(pieces, patches=tuple(kept), others=(*out, *pieces.others))
    return sorted_anew, tuple(place for place, label in later if label in staying)


def leave_out(
    seen: CloseUp, outline: Outline, places: tuple[Place, ...], stretch: float
) -> tuple[Outline, tuple[SetAside, ...], tuple[FloatArray, ...]]:
    """Return the outline without the patches at these places, and what those were.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    places : tuple of (float, float)
        In true metres.
    stretch : float
        True metres for each metre as drawn.

    Returns
    -------
    (Outline, tuple of SetAside, tuple of (n, 2) array)
        The third holds the outer outlines of what was left out, on the paper, in true metres.

    Raises
    ------
    WrongUseError
        ``no-patch-there``, ``nothing-left``.
    """
    if not places:
        return outline, (), ()
    ground = Ground(seen.box, seen.scale, stretch)
    near = number_patches(seen, outline)
    labels = np.where(outline.contact > 0, near, 0).astype(np.int32)
    numbers = {_label_at(labels, place, ground) for place in places}
    if 0 in numbers:
        raise _no_patch(next(place for place in places if not _label_at(labels, place, ground)), "no ink")
    gone = np.isin(near, list(numbers))
    if not np.any((outline.contact > 0) & ~gone):
        raise WrongUseError(
            "nothing-left",
            "Every patch of the print was left out by hand: nothing remains to be measured.",
            hint="Leave out fewer, or take in what was set aside.",
        )
    aside, curves = [], []
    for number in sorted(numbers):
        own = (labels == number).astype(np.uint8)
        rows, columns = np.nonzero(own)
        centre = ground.place((float(columns.mean()), float(rows.mean())))
        aside.append(SetAside(LEFT_OUT, float(len(rows)) * (seen.scale * stretch) ** 2, centre))
        found, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_NONE)
        curves += [ground.curve(np.asarray(curve.reshape(-1, 2), np.float64)) for curve in found]
    left = np.asarray(outline.contact * ~gone, np.uint8)
    hollows, thin = (np.asarray(mask * ~gone, np.uint8) for mask in (outline.hollows, outline.thin))
    return Outline(left, depth_inside(left), hollows, thin), tuple(aside), tuple(curves)


def keep_inside(
    seen: CloseUp, outline: Outline, corrections: Corrections, stretch: float
) -> tuple[CloseUp, Outline]:
    """Return the close-up with bare paper outside the lassos, and the outline cut there.

    A pixel that a lasso runs through counts by the share of it that lies inside.

    Raises
    ------
    WrongUseError
        ``lasso-empty``.
    """
    if not corrections.lassos:
        return seen, outline
    rows, columns = outline.contact.shape
    finer = Ground(seen.box, seen.scale / _FINER, stretch)
    drawn = np.zeros((_FINER * rows, _FINER * columns), np.float32)
    for lasso in corrections.lassos:
        drawn = np.maximum(drawn, _shares(lasso, finer, drawn.shape))
    share = np.asarray(cv2.resize(drawn, (columns, rows), interpolation=cv2.INTER_AREA), np.float32)
    inside = (share >= 0.5).astype(np.uint8)  # noqa: PLR2004  most of the pixel
    contact = outline.contact * inside
    if not contact.any():
        raise _lasso_empty()
    cut = Outline(contact, depth_inside(contact), outline.hollows * inside, outline.thin * inside)
    encoded, linear = (_paper_beyond(values, share) for values in (seen.encoded, seen.linear))
    return replace(seen, encoded=encoded, linear=linear), cut


def _paper_beyond(level: Picture, share: Picture) -> Picture:
    return np.asarray(1.0 - (1.0 - level) * share, np.float32)


def _take_in(pieces: Pieces, places: tuple[Place, ...], ground: Ground) -> Pieces:
    others = {piece.label: piece for piece in pieces.others}
    taken: list[Piece] = []
    for place in places:
        patches = {piece.label for piece in pieces.patches} | {piece.label for piece in taken}
        label = _label_at(
            np.where(np.isin(pieces.labels, [*others, *patches]), pieces.labels, 0), place, ground
        )
        if label in patches:
            raise WrongUseError(
                "no-ink-there",
                f"The ink at {_said(place)} is counted already.",
                hint="Take in only what was set aside; the overlay outlines what is counted.",
            )
        if label not in others:
            known = [ground.place(piece.centre) for piece in others.values()]
            raise WrongUseError(
                "no-ink-there",
                f"No ink that was set aside lies at {_said(place)}.",
                hint=f"Give a place in millimetres inside it. {_list('Set aside', known)}",
            )
        taken.append(replace(others.pop(label), kind="patch"))
    by_size = sorted((*pieces.patches, *taken), key=lambda piece: -piece.area)
    return replace(pieces, patches=tuple(by_size), others=tuple(others.values()))


def _patch_at(pieces: Pieces, place: Place, ground: Ground) -> Piece:
    patches = {piece.label: piece for piece in pieces.patches}
    label = _label_at(np.where(np.isin(pieces.labels, list(patches)), pieces.labels, 0), place, ground)
    if label in patches:
        return patches[label]
    kinds = {piece.label: piece.kind for piece in pieces.others}
    there = kinds.get(_label_at(pieces.labels, place, ground), "")
    known = [ground.place(piece.centre) for piece in pieces.patches]
    what = f"only a {there}, which was set aside already" if there else "no ink"
    raise _no_patch(place, what, known)


def _label_at(labels: Labels, place: Place, ground: Ground) -> int:
    """Return the label at a place, or around it, or hardly beside it; nought where there is none."""
    column, row = ground.pixel(place)
    height, width = labels.shape
    if not (0 <= column < width and 0 <= row < height):
        return 0
    if labels[row, column]:
        return int(labels[row, column])
    rows, columns = np.nonzero(labels)
    if not len(rows):
        return 0
    away = np.hypot(rows - row, columns - column)
    nearest = int(np.argmin(away))
    if away[nearest] * ground.scale * ground.stretch > _REACH and not _enclosed(labels, (column, row)):
        return 0
    return int(labels[rows[nearest], columns[nearest]])


def _enclosed(labels: Labels, pixel: tuple[int, int]) -> bool:
    """Return whether a pixel of bare paper lies in a hollow."""
    free = np.pad((labels == 0).astype(np.uint8), 1, constant_values=1)
    _, parts = cv2.connectedComponents(free, connectivity=4)
    return bool(parts[pixel[1] + 1, pixel[0] + 1] != parts[0, 0])


def _inside(corrections: Corrections, ground: Ground, shape: tuple[int, ...]) -> Mask | None:
    """Return 1 inside a lasso, or None where there is none."""
    if not corrections.lassos:
        return None
    mask = np.zeros(shape[:2], np.uint8)
    for lasso in corrections.lassos:
        mask = np.maximum(mask, np.asarray(_shares(lasso, ground, mask.shape) > 0.0, np.uint8))
    return mask


def _shares(lasso: tuple[Place, ...], ground: Ground, shape: tuple[int, ...]) -> Picture:
    """Return 1 inside a lasso and one half on its line, which has to count on neither side."""
    corner = np.array([ground.box.left, ground.box.top])
    pixels = (np.asarray(lasso) / ground.stretch - corner) / ground.scale - 0.5
    line = [np.rint(pixels).astype(np.int32)]
    filled, edge = np.zeros(shape[:2], np.uint8), np.zeros(shape[:2], np.uint8)
    cv2.fillPoly(filled, line, 1)
    cv2.polylines(edge, line, isClosed=True, color=1)
    return np.asarray(filled, np.float32) - np.float32(0.5) * edge


def _within(piece: Piece, labels: Labels, inside: Mask) -> Piece:
    """Return a piece with the box of what of it lies inside, or set aside where nothing does."""
    rows, columns = np.nonzero((labels == piece.label) & (inside > 0))
    if not len(rows):
        return replace(piece, kind=OUTSIDE)
    left, top = int(columns.min()), int(rows.min())
    return replace(piece, box=(left, top, int(columns.max()) - left + 1, int(rows.max()) - top + 1))


def _cut_off(piece: Piece, within: Piece, labels: Labels, inside: Mask) -> list[Piece]:
    """Return what lassos cut off a piece that they keep a part of."""
    if within.kind != piece.kind:
        return []
    rows, columns = np.nonzero((labels == piece.label) & (inside == 0))
    if len(rows) < _LEAST_CUT:
        return []
    share = len(rows) / np.count_nonzero(labels == piece.label)
    centre = float(columns.mean()), float(rows.mean())
    return [replace(piece, kind=OUTSIDE, area=share * piece.area, centre=centre)]


def _said(place: Place) -> str:
    return f"x = {_MM * place[0]:.1f} mm, y = {_MM * place[1]:.1f} mm"


def _list(what: str, places: list[Place]) -> str:
    some = "; ".join(_said(place) for place in places[:6])
    return f"{what}: {some}." if some else f"{what}: nothing."


def _no_patch(place: Place, what: str, known: list[Place] | None = None) -> WrongUseError:
    return WrongUseError(
        "no-patch-there",
        f"There is no patch at {_said(place)}: {what} lies there.",
        hint=f"Give a place in millimetres inside the patch. {_list('Patches', known or [])}",
    )


def _lasso_empty() -> WrongUseError:
    return WrongUseError(
        "lasso-empty",
        "No ink of the print lies inside the lasso.",
        hint="Give its corners in millimetres on the paper, from the corner that the result counts from.",
    )
