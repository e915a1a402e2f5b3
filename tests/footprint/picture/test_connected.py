"""Pieces of a mask, told apart."""

import cv2
import numpy as np
import pytest

from tameshi.footprint.picture.connected import connected


def specks(share: float) -> np.ndarray:
    return (np.random.default_rng(4).random((41, 57)) < share).astype(np.uint8)


@pytest.mark.parametrize("connectivity", [4, 8])
@pytest.mark.parametrize("share", [0.0, 0.1, 0.4, 1.0])
def test_the_library_says_the_same(share, connectivity):
    """Source: OpenCV's connectedComponentsWithStats."""
    mask = specks(share)
    count, labels, stats, centres = cv2.connectedComponentsWithStats(mask, connectivity=connectivity)
    found = connected(mask, connectivity=connectivity)
    assert found.count == count
    assert np.array_equal(found.labels, labels)
    assert np.array_equal(found.boxes[1:], stats[1:, :4])
    assert np.array_equal(found.areas[1:], stats[1:, cv2.CC_STAT_AREA])
    assert found.centres[1:] == pytest.approx(centres[1:])
