"""Several prints on one sheet: patches that lie far from each other are prints of their own."""

import cv2
import numpy as np

from tameshi.errors import Flag
from tameshi.footprint.ink.area import sum_if_known, sum_of
from tameshi.footprint.ink.closeup import CloseUp
from tameshi.footprint.ink.outline import Outline
from tameshi.footprint.picture.arrays import Labels
from tameshi.footprint.results.model import Patch, SeparatePrint

_MM = 1e3
_COARSE = 0.0005  # metres a pixel of the picture in which gaps are looked at


def groups_of(seen: CloseUp, outline: Outline, numbers: Labels, apart: float) -> tuple[tuple[int, ...], ...]:
    """Return the numbers of the patches of each print, in the order of the first patch in each.

    Parameters
    ----------
    seen : CloseUp
    outline : Outline
    numbers : (h, w) array
        Number of the patch each pixel is in or near, from 1.
    apart : float
        Prints lie at least so far from each other, edge to edge, in metres as drawn.
    """
    count = int(numbers.max())
    coarser = max(1, int(_COARSE / seen.scale))
    part = (slice(None, None, coarser), slice(None, None, coarser))
    some = np.where(outline.contact[part] > 0, numbers[part], 0)
    away = cv2.distanceTransform((some == 0).astype(np.uint8), cv2.DIST_L2, cv2.DIST_MASK_PRECISE)
    reached = (np.asarray(away) <= 0.5 * apart / (seen.scale * coarser)).astype(np.uint8)
    _, islands = cv2.connectedComponents(reached, connectivity=8)
    found: dict[int, list[int]] = {}
    for number in range(1, count + 1):
        own = np.asarray(islands)[some == number]
        found.setdefault(int(own[0]) if own.size else -number, []).append(number)
    return tuple(tuple(group) for group in found.values())


def separate_prints(
    patches: tuple[Patch, ...], groups: tuple[tuple[int, ...], ...]
) -> tuple[tuple[SeparatePrint, ...], tuple[Flag, ...]]:
    """Return the prints, numbered as one reads them, and a flag where there are several.

    They are numbered from left to right, or from the top down where they are farther apart that way.

    Parameters
    ----------
    patches : tuple of Patch
    groups : tuple of tuple of int
        As :func:`groups_of` returns them.
    """
    found = [_print([patches[number - 1] for number in group]) for group in groups]
    spread = [
        max(one.centroid[way] for one in found) - min(one.centroid[way] for one in found) for way in (0, 1)
    ]
    way = int(spread[1] > spread[0])
    in_order = sorted(found, key=lambda one: (one.centroid[way], one.centroid[1 - way]))
    prints = tuple(
        SeparatePrint(
            index=n,
            contact_area=one.contact_area,
            inked_area=one.inked_area,
            centroid=one.centroid,
            patches=one.patches,
        )
        for n, one in enumerate(in_order, start=1)
    )
    return prints, () if len(prints) == 1 else (_several(prints),)


def _print(own: list[Patch]) -> SeparatePrint:
    weights = [patch.contact_area.value for patch in own]
    x, y = (float(np.average([patch.centroid[way] for patch in own], weights=weights)) for way in (0, 1))
    return SeparatePrint(
        index=0,
        contact_area=sum_of(patch.contact_area for patch in own),
        inked_area=sum_if_known(patch.inked_area for patch in own),
        centroid=(x, y),
        patches=tuple(patch.index for patch in own),
    )


def _several(prints: tuple[SeparatePrint, ...]) -> Flag:
    told = "; ".join(
        f"print {one.index} at x = {_MM * one.centroid[0]:.0f} mm, y = {_MM * one.centroid[1]:.0f} mm with "
        f"{1e4 * one.contact_area.value:.2f} cm²"
        for one in prints
    )
    return Flag(
        "several-prints",
        f"The ink lies in {len(prints)} places far from each other, taken for prints of their own: {told}. "
        "The areas of the picture are their sums.",
    )
