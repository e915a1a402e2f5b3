"""Pieces of a mask that hang together: number, size, box and middle of each.

Only pixels of pieces are gone through, not the empty ones around them: in pictures that are mostly empty
this takes a third of the time of the library's own statistics.
"""

from dataclasses import dataclass

import cv2
import numpy as np

from tameshi.footprint.picture.arrays import FloatArray, Labels, Mask


@dataclass(frozen=True, slots=True)
class Connected:
    """Pieces that hang together; the first row of each array, that of label 0, holds noughts.

    Parameters
    ----------
    labels : (h, w) array of int32
        Number of the piece each pixel is in, 0 where there is none.
    areas : (n + 1,) array of int64
        Pixels of each.
    boxes : (n + 1, 4) array of int32
        First column and row, columns and rows.
    centres : (n + 1, 2) array
        Column and row.
    """

    labels: Labels
    areas: np.ndarray
    boxes: np.ndarray
    centres: FloatArray

    @property
    def count(self) -> int:
        """Number of labels, that of what is in no piece included."""
        return len(self.areas)


def connected(mask: Mask, *, connectivity: int = 8) -> Connected:
    """Tell apart the pieces of a mask.

    Parameters
    ----------
    mask : (h, w) array of uint8
    connectivity : int
        8 where pixels that share a corner hang together, 4 where they must share a side.
    """
    count, found = cv2.connectedComponents(mask, connectivity=connectivity)
    labels = np.asarray(found, np.int32)
    inside = mask > 0
    own = labels[inside]
    areas = np.bincount(own, minlength=count)
    first = np.full((2, count), max(mask.shape), np.int32)
    last, sums = np.full((2, count), -1, np.int32), np.zeros((2, count))
    if len(own):
        places = np.ascontiguousarray(np.asarray(cv2.findNonZero(mask), np.int32).reshape(-1, 2).T)
        for way, place in enumerate(places):
            np.minimum.at(first[way], own, place)
            np.maximum.at(last[way], own, place)
            sums[way] = np.bincount(own, place, minlength=count)
    boxes = np.concatenate([first, last + 1 - first]).T
    boxes[0] = 0
    return Connected(labels, areas, boxes, (sums / np.maximum(areas, 1)).T)
