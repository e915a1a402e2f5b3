"""Find a plain sheet of paper roughly: a quadrilateral that stands out from what it lies on.

The reduced picture is cut apart in many ways, by steps of colour and by levels; each part large
enough is taken for a sheet and given four sides. A sheet is where steps of colour run along all four
of them. Corners come out to about a pixel of the reduced picture; ``borders`` makes them exact.
"""

from collections.abc import Iterable
from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Mask, Pixels
from tameshi.footprint.picture.channels import highest, lowest, quantiles
from tameshi.footprint.picture.light import reduced
from tameshi.footprint.picture.view import View

_LONG_SIDE = 640  # pixels of the reduced picture
_STEPS = (5, 8, 13, 21, 34)  # of 255: steps of colour that part one thing from another
_LEVELS = 14  # thresholds in each of the ways to look at a picture
_SMALLEST = 0.03  # of the picture
_FULL = 0.55  # of its hull: a sheet with a large print on it
_LIKE_HULL = (0.93, 1.12)  # a quadrilateral's area beside the hull's
_TOLERANCE = 0.012  # of the outline's length, for straight sides
_ALONG = 48  # places along each side that are looked at
_REACH = 4  # pixels to either side in which the step may lie
_FAINTEST = 7.0  # of 255: a step fainter than that is none
_AS_USUAL = 0.35  # of the usual step along a side, and in its direction
_OTHER_HUE = 0.05  # in shares of red, green and blue: no paper differs from itself by so much
_LIGHTS = (0.45, 1.6)  # of its usual level, in shadow and in light
_GOOD, _GOOD_SIDE = 0.6, 0.4  # share of the outline, and of each side, that must be steps
_NEARLY_BEST = 0.93
_DARKER = 0.75  # of the level of what lies on it: a mat, not a sheet
_SAME = 0.02  # of the picture's longer side
_ALIKE, _AS_LARGE = 0.8, 0.4  # level and area of a second sheet
_RIM = 2  # pixels of the reduced picture
_PARALLEL = 1e-6  # sine of the angle between two sides that never meet
_SIDES = 4
_MIDDLE, _BESIDE = 0.15, 0.06  # of a side: parts near its corners are left out; its outline lies so near


@dataclass(frozen=True, slots=True)
class Quad:
    """What may be a sheet.

    Parameters
    ----------
    corners : (4, 2) array
        In pixels, clockwise from the one nearest the picture's top left.
    support : float
        Share of its outline along which colour steps.
    level : float
        Its median level, 0 to 255.
    cut : tuple of str
        Sides of the picture that it runs into.
    """

    corners: FloatArray
    support: float
    level: float
    cut: tuple[str, ...]

    @property
    def area(self) -> float:
        """In square pixels."""
        return float(cv2.contourArea(self.corners.astype(np.float32)))


def find_quads(view: View) -> tuple[Quad, ...]:
    """Return what may be sheets, the likeliest first; others only if they could be meant as well.

    Parameters
    ----------
    view : View
    """
    factor = max(1, round(max(view.pixels.shape[:2]) / _LONG_SIDE))
    small = np.asarray(cv2.medianBlur(reduced(view.pixels, factor), 5), np.uint8)
    found: list[FloatArray] = []
    for mask in _parts(small):
        for corners in _four_sided(mask):
            if not any(_same(corners, other, small) for other in found):
                found.append(corners)
    rated = [_rated(small, corners) for corners in found]
    good = [quad for quad in rated if quad is not None]
    return tuple(_scaled(quad, factor) for quad in _chosen(good))


def _parts(small: Pixels) -> Iterable[Mask]:
    """Cut the picture apart by steps of colour, and by levels."""
    wide = np.ones((3, 3), np.uint8)
    step = highest(np.asarray(cv2.subtract(cv2.dilate(small, wide), cv2.erode(small, wide)), np.uint8))
    for least in _STEPS:
        yield _opened(np.asarray(step < least, np.uint8))
    bright, dark = highest(small), lowest(small)
    for way in (bright, dark, np.asarray(bright - dark, np.uint8)):
        first, last = quantiles(way, (0.02, 0.98))
        # stored values are whole: between two of them every level cuts alike
        for level in np.unique(np.floor(np.linspace(first, last, _LEVELS + 2)[1:-1])):
            above = np.asarray(cv2.threshold(way, level, 1, cv2.THRESH_BINARY)[1], np.uint8)
            yield _opened(above)
            yield _opened(np.asarray(1 - above, np.uint8))


def _opened(mask: Mask) -> Mask:
    return np.asarray(cv2.morphologyEx(mask, cv2.MORPH_OPEN, np.ones((3, 3), np.uint8)), np.uint8)


def _four_sided(mask: Mask) -> Iterable[FloatArray]:
    """Return the corners of every large part whose hull has four sides."""
    # what is opened has no more parts than sixteen bits can number
    count, labels = cv2.connectedComponents(mask, connectivity=4, ltype=cv2.CV_16U)
    sizes = np.ravel(cv2.calcHist([labels], [0], None, [count], [0, count]))
    for n in 1 + np.flatnonzero(sizes[1:] >= _SMALLEST * mask.size):
        own = np.equal(labels, n).view(np.uint8)
        outlines, _ = cv2.findContours(own, cv2.RETR_EXTERNAL, cv2.CHAIN_APPROX_SIMPLE)
        hull = cv2.convexHull(max(outlines, key=cv2.contourArea))
        area = cv2.contourArea(hull)
        if sizes[n] < _FULL * area:
            continue
        corners = _corners(np.asarray(hull, np.float64).reshape(-1, 2))
        if corners is None:
            continue
        corners = _along_sides(corners, np.asarray(hull, np.float64).reshape(-1, 2))
        low, high = _LIKE_HULL
        if low * area < cv2.contourArea(corners.astype(np.float32)) < high * area:
            yield corners


def _corners(hull: FloatArray) -> FloatArray | None:
    """Return the four corners of a hull; a cut-off corner is put back by lengthening its sides."""
    length = cv2.arcLength(hull.astype(np.float32), closed=True)
    kept = cv2.approxPolyDP(hull.astype(np.float32), _TOLERANCE * length, closed=True)
    corners = np.asarray(kept, np.float64).reshape(-1, 2)
    while len(corners) > _SIDES:
        sides = np.linalg.norm(np.roll(corners, -1, axis=0) - corners, axis=1)
        shortened = (_without_side(corners, int(n)) for n in np.argsort(sides))
        fewer = next((one for one in shortened if one is not None), None)
        if fewer is None:
            return None
        corners = fewer
    if len(corners) != _SIDES:
        return None
    next_corners, one_more = np.roll(corners, -1, axis=0), np.roll(corners, -2, axis=0)
    turning = _cross(next_corners - corners, one_more - next_corners)
    if (turning < 0).all():
        corners = corners[::-1]
    elif not (turning > 0).all():
        return None
    return np.roll(corners, -int(np.argmin(corners.sum(axis=1))), axis=0)


def _along_sides(corners: FloatArray, hull: FloatArray) -> FloatArray:
    """Return corners where lines along the middles of the four sides meet: a small fold pulls at none."""
    ends = np.roll(hull, -1, axis=0)
    steps = np.linspace(0.0, 1.0, _ALONG, endpoint=False)[:, None, None]
    around = (hull + steps * (ends - hull)).reshape(-1, 2)
    # long pieces of the outline count for what they are
    weight = np.tile(np.linalg.norm(ends - hull, axis=1), _ALONG)
    lines = []
    for start, end in zip(corners, np.roll(corners, -1, axis=0), strict=True):
        side = end - start
        length = float(np.linalg.norm(side))
        along = (around - start) @ side / length**2
        off = np.abs(_cross(np.broadcast_to(side, around.shape), around - start)) / length
        own = weight * ((along > _MIDDLE) & (along < 1.0 - _MIDDLE) & (off < _BESIDE * length))
        if own.sum() <= 0.0:
            return corners
        middle = own @ around / own.sum()
        away = around - middle
        lines.append((middle, np.linalg.eigh((away.T * own) @ away)[1][:, 1]))
    found = corners.copy()
    for n, (middle, way) in enumerate(lines):
        before, way_before = lines[n - 1]
        cross = float(_cross(way, way_before))
        if abs(cross) < _PARALLEL:
            return corners
        found[n] = middle + float(_cross(before - middle, way_before)) / cross * way
    return found


def _without_side(corners: FloatArray, side: int) -> FloatArray | None:
    """Return corners with one side left out and its neighbours lengthened until they meet, if they do."""
    turned = np.roll(corners, 1 - side, axis=0)
    before, after = turned[1] - turned[0], turned[2] - turned[3]
    cross = float(_cross(before, after))
    if abs(cross) < _PARALLEL * float(np.linalg.norm(before) * np.linalg.norm(after)):
        return None
    gap = turned[3] - turned[0]
    along, back = float(_cross(gap, after)) / cross, float(_cross(gap, before)) / cross
    if along < 1.0 or back < 1.0:
        return None
    return np.vstack([turned[:1], (turned[0] + along * before)[None, :], turned[3:]])


def _cross(one: FloatArray, other: FloatArray) -> FloatArray:
    return np.asarray(one[..., 0] * other[..., 1] - one[..., 1] * other[..., 0])


def _same(one: FloatArray, other: FloatArray, small: Pixels) -> bool:
    return bool(np.abs(one - other).max() < 0.25 * _SAME * max(small.shape))


def _rated(small: Pixels, corners: FloatArray) -> Quad | None:
    """Return a quadrilateral with what speaks for it, None where too little does."""
    height, width = small.shape[:2]
    inside = np.zeros((height, width), np.uint8)
    cv2.fillConvexPoly(inside, np.rint(corners).astype(np.int32), 1)
    paper = np.zeros(3)
    if inside.any():
        colours = [np.asarray(colour, np.uint8) for colour in cv2.split(small)]
        paper = np.concatenate([quantiles(colour, (0.5,), inside) for colour in colours])
    ends = np.roll(corners, -1, axis=0)
    shares, cut = [], []
    for start, end in zip(corners, ends, strict=True):
        rim = _along_rim(start, end, width, height)
        if rim:
            cut.append(rim)
            continue
        shares.append(_stepped(small, (start, end), paper))
    if not shares or float(np.mean(shares)) < _GOOD or min(shares) < _GOOD_SIDE:
        return None
    return Quad(corners, float(np.mean(shares)), float(np.mean(paper)), tuple(dict.fromkeys(cut)))


def _along_rim(start: FloatArray, end: FloatArray, width: int, height: int) -> str:
    """Return the name of the picture's side that this side runs along, empty if none."""
    far = (
        ("left", max(start[0], end[0]) <= _RIM),
        ("top", max(start[1], end[1]) <= _RIM),
        ("right", min(start[0], end[0]) >= width - 1 - _RIM),
        ("bottom", min(start[1], end[1]) >= height - 1 - _RIM),
    )
    return next((name for name, touches in far if touches), "")


def _stepped(small: Pixels, side: tuple[FloatArray, FloatArray], paper: FloatArray) -> float:
    """Return the share of a side along which colour steps from the sheet's to another, on one line."""
    start, end = side
    along = end - start
    normal = np.array([along[1], -along[0]]) / max(float(np.linalg.norm(along)), 1e-9)
    share = np.linspace(0.05, 0.95, _ALONG)
    distance = np.arange(-_REACH - 2, _REACH + 3, dtype=np.float64)
    points = (start + share[:, None, None] * along + distance[None, :, None] * normal).astype(np.float32)
    x, y = np.ascontiguousarray(points[..., 0]), np.ascontiguousarray(points[..., 1])
    values = np.asarray(cv2.remap(small, x, y, cv2.INTER_LINEAR, borderMode=cv2.BORDER_REPLICATE), np.float64)
    inside, outside = 0.5 * (values[:, :-4] + values[:, 1:-3]), 0.5 * (values[:, 3:-1] + values[:, 4:])
    # the line may lie a little off, and turned: the one across which most of it steps
    first, last = (ends.ravel()[:, None] for ends in np.mgrid[0 : 2 * _REACH + 1, 0 : 2 * _REACH + 1])
    place = np.rint(first + (last - first) * share).astype(int)
    places = np.arange(_ALONG)
    steps = (inside - outside)[places, place]
    usual = np.median(steps, axis=1)
    best = int(np.argmax(np.abs(usual).max(axis=1)))
    strongest = usual[best]
    if float(np.abs(strongest).max()) < _FAINTEST:
        return 0.0
    along_step = steps[best] @ strongest / float(strongest @ strongest)
    large = np.abs(steps[best]).max(axis=1) >= _FAINTEST
    return float(np.mean((along_step > _AS_USUAL) & large & _like_paper(inside[places, place[best]], paper)))


def _like_paper(values: FloatArray, paper: FloatArray) -> FloatArray:
    """Return which colours, (n, 3), could be the paper's in another light."""
    level, usual = values.sum(axis=1), float(paper.sum())
    hue = np.abs(values / np.maximum(level, 1.0)[:, None] - paper / max(usual, 1.0)).max(axis=1)
    low, high = _LIGHTS
    return np.asarray((hue < _OTHER_HUE) & (level > low * usual) & (level < high * usual))


def _chosen(good: list[Quad]) -> list[Quad]:
    """Return the likeliest sheet, and those beside it that are as likely."""
    # what runs into the picture's rim may be the table: it only counts where nothing else is there
    good = [quad for quad in good if not quad.cut] or good
    if not good:
        return []
    best = max(quad.support for quad in good)
    near = sorted((quad for quad in good if quad.support >= _NEARLY_BEST * best), key=lambda quad: -quad.area)
    brightest = max(near, key=lambda quad: quad.level)
    first = next(quad for quad in near if quad.level >= _DARKER * brightest.level)
    others: list[Quad] = []
    for quad in near:
        apart = all(not _overlap(quad, other) for other in (first, *others))
        if apart and quad.level >= _ALIKE * first.level and quad.area >= _AS_LARGE * first.area:
            others.append(quad)
    return [first, *others]


def _overlap(one: Quad, other: Quad) -> bool:
    shared, _ = cv2.intersectConvexConvex(one.corners.astype(np.float32), other.corners.astype(np.float32))
    return float(shared) > 0.1 * min(one.area, other.area)


def _scaled(quad: Quad, factor: int) -> Quad:
    return Quad((quad.corners + 0.5) * factor - 0.5, quad.support, quad.level, quad.cut)
