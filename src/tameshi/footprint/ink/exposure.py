"""Paper brighter than the picture can show: what that does to an outline half way between paper and ink.

By how much the paper was brighter cannot be seen. But nothing on paper is blacker than black ink, so the
darkest that the picture shows bounds it. Blur mixes light before it is cut off: half way from ink to white
then lies inside the edge, the farther the brighter the paper was. Where a print fades into such white, a
part of it is burnt out.
"""

from dataclasses import dataclass

import cv2
import numpy as np
from scipy.stats import norm

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.cover import Counted, Edge
from tameshi.footprint.ink.outline import Outline, ink_levels
from tameshi.footprint.ink.surface import ratio
from tameshi.footprint.picture.arrays import Mask, Where
from tameshi.footprint.picture.channels import lowest
from tameshi.footprint.picture.light import LINEAR
from tameshi.footprint.picture.view import View
from tameshi.reference import row

_PURE_WHITE = 252  # stored value
_PLATEAU, _FLAT = 190, 2  # stored values: a tone curve may end lower, but then all paper has one value
_SMOOTHER = 0.35  # of the ink's noise: light that is cut off has none
_NOISE = 1.2  # pixels: slower changes are no noise
_SOME = 3  # every so many pixels are looked at
_FEWEST = 200  # pixels
_SHOWN = 0.05  # of the paper beside the print: where so much of it is not cut off, the rest hardly is
_BELOW = 3  # stored values
_DARK_SHARE = 0.01  # of the picture
_MOST = 10.0  # times white: three stops and a third too much light
_QUARTILES = 1.349  # standard deviations between the quartiles of a normal distribution
_TOO_MUCH, _WORTH_SAYING = 0.10, 0.02  # of the contact area
_FADING, _FADED = (0.00035, 0.0007), 0.7  # metres inside the outline; of the ink farther in
_FARTHER_IN = 0.0014  # metres
_RIDGES = 0.0012  # metres: two skin ridges, whose gaps are no fading
_SHARP = 3.0  # times the picture's blur: there sharp edges have ended
_BURNT = 0.15  # of the outline


@dataclass(frozen=True, slots=True)
class Exposure:
    """What too much light may have done.

    Parameters
    ----------
    clipped : bool
        Whether the paper beside the print is brighter than the picture can show.
    shift : float
        How far the outline may lie too far inside for that, in pixels.
    fading : float
        Share of the outline at which ink fades into that paper.
    """

    clipped: bool
    shift: float = 0.0
    fading: float = 0.0


def look_at_exposure(view: View, seen: CloseUp, outline: Outline, edge: Edge, *, scanned: bool) -> Exposure:
    """Return what too much light may have done to a print.

    Parameters
    ----------
    view : View
    seen : CloseUp
    outline : Outline
    edge : Edge
    scanned : bool
        Whether a scanner, which sets white itself, took the picture.
    """
    beside = lowest(seen.picture)[::_SOME, ::_SOME]
    depth = outline.depth[::_SOME, ::_SOME]
    ring = depth < -3.0 * edge.softness - 2.0
    if np.count_nonzero(ring) < _FEWEST or not _is_cut_off(seen, outline, edge, scanned=scanned):
        return Exposure(clipped=False)
    white = float(np.median(beside[ring]))
    inside = depth > min(2.0, 0.5 * float(depth.max()))
    ink = float(np.median(edge.linear[::_SOME, ::_SOME][inside]))
    darkest = float(LINEAR[int(np.quantile(view.once(_lowest), _DARK_SHARE))] / LINEAR[round(white)])
    name = "overexposed-scan" if scanned else "overexposed-part"
    part = float(np.mean(beside[ring] < white - _BELOW)) > _SHOWN
    black = float(row("prints", "black-ink")["value"])
    most = float(row("prints", name)["value"]) if scanned or part else _MOST
    over = min(most, min(ink, darkest) / black)
    fading = 0.0 if scanned else _fading(seen, outline, edge)  # no lamp shines in a scanner's glass
    return Exposure(clipped=True, shift=_shift(ink, over) * edge.blur, fading=fading)


def _lowest(view: View) -> Mask:
    return lowest(view.smaller(4))


def _is_cut_off(seen: CloseUp, outline: Outline, edge: Edge, *, scanned: bool) -> bool:
    """Return whether the paper is pure white, or has one value all over and no noise."""
    beside = outline.depth[::_SOME, ::_SOME] < -3.0 * edge.softness - 2.0
    paper = seen.picture[::_SOME, ::_SOME][beside]
    if float(np.median(lowest(paper[None])[0])) >= _PURE_WHITE:
        return True
    if scanned:  # even light and little noise are a scanner's own
        return False
    low, high = np.quantile(paper, (0.02, 0.98), axis=0)
    if float((high - low).max()) > _FLAT or float(low.max()) < _PLATEAU:
        return False
    ring = outline.depth < -3.0 * edge.softness - 2.0
    inside: Where = np.asarray(outline.depth > min(2.0 + 2.0 * edge.blur, 0.5 * float(outline.depth.max())))
    colours = (cv2.extractChannel(seen.picture, n).astype(np.float32) for n in range(3))
    grey = np.add.reduce(list(colours)) / np.float32(3.0)
    noise = np.abs(grey - np.asarray(cv2.GaussianBlur(grey, (0, 0), _NOISE), np.float32))
    return float(np.mean(noise[ring])) < _SMOOTHER * float(np.mean(noise[inside]))


def _shift(ink: float, over: float) -> float:
    """Return how far half way from ink to white lies inside the edge, in blurs of the step as seen.

    Parameters
    ----------
    ink, over : float
        Light of the ink and of the paper, white being 1. Derived for a normal blur.
    """
    if over <= 1.0 or ink >= 1.0:
        return 0.0
    first, middle, last = norm.ppf(np.array([0.25, 0.5, 0.75]) * (1.0 - ink) / (over - ink))
    return max(0.0, float(-middle / (last - first))) * _QUARTILES


def _fading(seen: CloseUp, outline: Outline, edge: Edge) -> float:
    """Return the share of the outline along which the ink is far paler than farther in."""
    start = max(_FADING[0], _SHARP * edge.blur * seen.scale)
    depth = outline.depth * seen.scale
    band = (depth > start) & (depth < start + _FADING[1] - _FADING[0])
    within = depth > start + _FARTHER_IN
    if min(np.count_nonzero(band), np.count_nonzero(within)) < _FEWEST:
        return 0.0
    side = 2 * max(1, round(0.5 * _RIDGES / seen.scale)) + 1
    inside = np.asarray(outline.depth > 0.0, np.float32)
    sums, share = (cv2.blur(values, (side, side)) for values in ((1.0 - seen.linear) * inside, inside))
    dark = ratio(np.asarray(sums, np.float32), np.asarray(share, np.float32))
    (usual,) = ink_levels((1.0 - seen.linear,), within, seen.scale)
    return float(np.mean(dark[band] < _FADED * usual[band]))


def require_exposed(exposure: Exposure, counted: Counted) -> tuple[Flag, ...]:
    """Return a flag where too much light leaves the area uncertain.

    Parameters
    ----------
    exposure : Exposure
    counted : Counted

    Raises
    ------
    UnmeasurableError
        ``overexposed``, or ``glare`` where a part of the print is burnt out.
    """
    if exposure.fading > _BURNT:
        raise UnmeasurableError(
            "glare",
            f"Along {100.0 * exposure.fading:.0f} % of its outline the print fades into paper as white as "
            "the picture can show: a reflection, or too much light, has burnt a part of it out, or its ink "
            "is too thin.",
            hint="Move the lamp or the camera, switch the flash off, take less light; then photograph again.",
        )
    share = exposure.shift * float(counted.length.sum()) / max(float(counted.linear.sum()), 1.0)
    said = "The paper is brighter than the picture can show, nobody knows by how much"
    if share > _TOO_MUCH:
        raise UnmeasurableError(
            "overexposed",
            f"{said}: the print may be larger by {100.0 * share:.0f} % than it looks.",
            hint="Take it again with less light or a shorter exposure: paper should be light grey.",
        )
    if share <= _WORTH_SAYING:
        return ()
    return (Flag("bright", f"{said}: the print may be larger by up to {100.0 * share:.0f} % than it looks."),)
