"""What limits a measured print, in plain words: hollows, a dark rim, blur, debris, faint ink."""

from collections import Counter

import cv2
import numpy as np

from tameshi.errors import Flag, UnmeasurableError
from tameshi.footprint.ink.area import edge_error
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.cover import Counted, Edge
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.ink.ridges import Ridging
from tameshi.footprint.ink.shape import shape_remarks
from tameshi.footprint.results.model import Patch, SetAside

_NO_DEBRIS = ("border", "left-out", "outside-lasso")  # by hand is said elsewhere
_HOLLOW_WORTH_SAYING = 0.01  # of the contact area
_ASIDE_WORTH_SAYING = 0.01
_THIN_WORTH_SAYING = 0.04  # of the contact area
_PALE = 0.65  # of the darkest ink
_RIDGES_BLUR = 0.00035  # metres: enough for skin ridges to run together
_CLEAR_OF_EDGE = 0.0006  # metres
_COARSE, _HOPELESS = 0.02, 0.08  # relative uncertainty from resolution and blur
_SOFT_EDGE = 0.0002  # metres: standard deviation of an edge that calls for a word
_COARSE_EDGE = 0.00035  # metres: the same, where pixels are too coarse to tell softness
_MOST_BLED = 2.0  # times the softness: ink that fades evenly looks half as dark so far beyond the contact
_SOFT_PIXELS = 1.5  # standard deviation of an edge that is blurred rather than coarse
_FEWEST_PIXELS = 80  # of a whole print
_RIM = (0.0004, 0.0012)  # metres inside the edge
_INSIDE = 0.0025  # metres inside the edge
_RIM_EXCESS = 1.2  # times the optical density inside
_LEAST_DENSITY = 0.05  # the rim must exceed the inside by so much
_DARKEST = 0.02  # of the paper's light: blacker cannot be told
_FEWEST_INSIDE = 50  # pixels
_SOME = 3  # every so many pixels are looked at
_RIDGES_DOUBTFUL = 0.06  # relative uncertainty of the inked area
_FAINT = 0.35  # of the paper's light
_WASHED_OUT = 0.9  # of full scale: ink as bright as that beside pure white has been lost
_PALE_ON_WHITE = 0.72  # of full scale: ink from which the paper's true brightness matters
_BRIGHT = "The paper is brighter than the picture can show, and the ink is pale; thin ink may have been lost."
_PURE_WHITE = 252  # stored value


def require_measurable(seen: CloseUp, counted: Counted, edge: Edge, white: float) -> None:
    """Refuse a print that the picture cannot support.

    Parameters
    ----------
    seen : CloseUp
    counted : Counted
        Contact, in pixels.
    edge : Edge
    white : float
        As :func:`ink_beside_white` returns it.

    Raises
    ------
    UnmeasurableError
        ``too-small``, ``too-blurred``, ``overexposed``.
    """
    pixels = float(counted.linear.sum())
    share = _resolution_share(counted, edge)
    if pixels >= _FEWEST_PIXELS and share > _HOPELESS and edge.softness > _SOFT_PIXELS:
        raise UnmeasurableError(
            "too-blurred",
            f"The print's edges are blurred over {edge.softness * seen.scale * 1000.0:.2f} mm "
            f"({edge.softness:.0f} pixels): its area would be uncertain by {200.0 * share:.0f} %.",
            hint="Photograph it again in focus and with a steady hand, or lean the camera on something.",
        )
    if pixels < _FEWEST_PIXELS or share > _HOPELESS:
        raise UnmeasurableError(
            "too-small",
            f"The print covers {pixels:.0f} pixels of {seen.scale * 1000.0:.2f} mm with edges "
            f"{edge.softness * seen.scale * 1000.0:.2f} mm soft: its area would be uncertain by "
            f"{200.0 * share:.0f} % for that alone.",
            hint="Photograph it sharply and from nearer, or scan it at a higher resolution.",
        )
    if white > _WASHED_OUT:
        raise UnmeasurableError(
            "overexposed",
            "The picture is overexposed: the paper is pure white and the ink nearly so.",
            hint="Take it again with less light or a shorter exposure.",
        )


def is_bright(white: float) -> bool:
    """Return whether pale ink lies on paper whiter than the picture can show, by :func:`ink_beside_white`."""
    return white > _PALE_ON_WHITE


def ink_beside_white(seen: CloseUp, outline: Outline, edge: Edge) -> float:
    """Return the stored level of ink as a share of white, nought where paper is not pure white."""
    some, depth = seen.picture[::_SOME, ::_SOME], outline.depth[::_SOME, ::_SOME]
    paper = some[depth < -3.0 * edge.softness - 2.0]
    if 2 * np.count_nonzero(paper >= _PURE_WHITE) < paper.size:
        return 0.0
    inked = (depth > 0.0) & (seen.dark[::_SOME, ::_SOME] > 0)  # white gaps between ridges are no ink
    return float(np.median(some[inked if inked.any() else depth > 0.0], axis=0).min()) / 255.0


def remarks(
    seen: CloseUp, outline: Outline, counted: Counted, edge: Edge, ridging: Ridging, white: float
) -> tuple[Flag, ...]:
    """Return the flags that the print itself calls for.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    counted : Counted
        Contact, in pixels.
    edge : Edge
    ridging : Ridging
    white : float
        As :func:`ink_beside_white` returns it.
    """
    found = (
        _hollow(seen, outline, counted),
        _dark_rim(seen, outline) or _thin(seen, outline),
        _resolution(seen, counted, edge),
        _ridges(ridging),
        _faint(seen, outline),
        *shape_remarks(seen, outline, counted),
        Flag("bright", _BRIGHT) if is_bright(white) else None,
    )
    return tuple(flag for flag in found if flag is not None)


def specks_remark(patches: tuple[Patch, ...], smallest: float) -> tuple[Flag, ...]:
    """Return a flag where all that was found is small enough to be spatter; ``smallest`` in square metres."""
    largest = max(patch.contact_area.value for patch in patches)
    if largest >= smallest:
        return ()
    message = (
        f"The largest patch has {largest * 1e6:.1f} mm² only: it may be spatter, and a faint print beside it "
        "too pale to be seen."
    )
    return (Flag("specks-only", message),)


def debris_remark(set_aside: tuple[SetAside, ...], contact: float) -> tuple[Flag, ...]:
    """Return a flag where so much ink was set aside that it matters; ``contact`` is in square metres."""
    loose = [one for one in set_aside if one.kind not in _NO_DEBRIS]
    area = sum(one.area for one in loose)
    if area <= _ASIDE_WORTH_SAYING * contact:
        return ()
    kinds = ", ".join(f"{count} {kind}" for kind, count in Counter(one.kind for one in loose).items())
    message = (
        f"{area * 1e6:.0f} mm² of ink ({100.0 * area / contact:.1f} % of the contact area) were set aside "
        f"as not contact: {kinds}."
    )
    return (Flag("set-aside", message),)


def _hollow(seen: CloseUp, outline: Outline, counted: Counted) -> Flag | None:
    pixels = float(np.count_nonzero(outline.hollows))
    contact = float(counted.linear.sum())
    if pixels <= _HOLLOW_WORTH_SAYING * contact:
        return None
    square = (seen.scale * 1000.0) ** 2
    message = (
        f"The print has hollows of {pixels * square:.0f} mm² in all, wider than a skin gap; they are "
        f"left out. Counted as contact, the area would be {(contact + pixels) * square:.0f} mm² instead of "
        f"{contact * square:.0f} mm²."
    )
    return Flag("hollow", message)


def _thin(seen: CloseUp, outline: Outline) -> Flag | None:
    """Compare places with the darkest, ridges run together: thin ink, a stain and a shadow look alike."""
    window = 2 * max(1, round(_RIDGES_BLUR / seen.scale)) + 1
    dark = 1.0 - np.asarray(cv2.blur(seen.linear, (window, window)))[::_SOME, ::_SOME]
    inside = dark[outline.depth[::_SOME, ::_SOME] > _CLEAR_OF_EDGE / seen.scale]
    if inside.size < _FEWEST_INSIDE:
        return None
    share = float(np.mean(inside < _PALE * float(np.quantile(inside, 0.95))))
    if share <= _THIN_WORTH_SAYING:
        return None
    message = (
        f"{100.0 * share:.0f} % of the contact area is much paler than the darkest ink and was counted as "
        "contact: thin ink, unless a stain or a shadow lies there."
    )
    return Flag("thin-ink", message)


def _dark_rim(seen: CloseUp, outline: Outline) -> Flag | None:
    """Compare optical density just inside the edge with that farther in."""
    depth, light = outline.depth[::_SOME, ::_SOME] * seen.scale, seen.linear[::_SOME, ::_SOME]
    rim, inside = (depth > _RIM[0]) & (depth < _RIM[1]), depth > _INSIDE
    if np.count_nonzero(inside) < _FEWEST_INSIDE or np.count_nonzero(rim) < _FEWEST_INSIDE:
        return None
    at_rim, within = (-np.log(max(float(np.median(light[where])), _DARKEST)) for where in (rim, inside))
    if at_rim < _RIM_EXCESS * within or at_rim < within + _LEAST_DENSITY:
        return None
    message = (
        f"Ink is {at_rim / max(within, 1e-3):.1f} times as dense along the rim as inside: a stiff edge "
        "pressed there, and local pressure at it has no upper bound that this print could give."
    )
    return Flag("dark-rim", message)


def _resolution(seen: CloseUp, counted: Counted, edge: Edge) -> Flag | None:
    share = _resolution_share(counted, edge)
    soft = edge.softness * seen.scale
    blurred = edge.softness > _SOFT_PIXELS
    if share <= _COARSE and soft <= (_SOFT_EDGE if blurred else _COARSE_EDGE):
        return None
    code, what = ("blurred", "edges are soft") if blurred else ("coarse", "pixels are coarse")
    message = (
        f"The picture's {what}: {soft * 1000.0:.2f} mm of blur at {seen.scale * 1000.0:.2f} mm a pixel "
        f"leave the area uncertain by {200.0 * share:.1f} %."
    )
    if blurred:
        most = _MOST_BLED * edge.softness * float(counted.length.sum()) / float(counted.linear.sum())
        message += (
            f" If it is not the picture that is soft but the ink that crept into the paper, the area is too "
            f"large by up to {100.0 * most:.0f} %."
        )
    return Flag(code, message)


def _resolution_share(counted: Counted, edge: Edge) -> float:
    return edge_error(edge) * float(counted.length.sum()) / max(float(counted.linear.sum()), 1.0)


def _ridges(ridging: Ridging) -> Flag | None:
    if ridging.hidden:
        return Flag("ridges-unresolved", f"{ridging.hidden} The contact area is not affected.")
    if ridging.share is not None and ridging.u_share > _RIDGES_DOUBTFUL:
        message = (
            f"Skin ridges show but faintly: the inked area is uncertain by {200.0 * ridging.u_share:.0f} %. "
            "The contact area is not affected."
        )
        return Flag("ridges-unresolved", message)
    return None


def _faint(seen: CloseUp, outline: Outline) -> Flag | None:
    dark = 1.0 - float(np.median(seen.linear[::_SOME, ::_SOME][outline.contact[::_SOME, ::_SOME] > 0]))
    if dark >= _FAINT:
        return None
    return Flag("faint-ink", f"The print is faint: it takes only {100.0 * dark:.0f} % of the paper's light.")
