"""Prints on squared paper beyond the rectangle of squares that was followed: measured, told or refused."""

import math

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.demo.photo import Camera
from tameshi.demo.prints import Blob, ContactPrint
from tameshi.errors import UnmeasurableError
from tameshi.footprint import Corrections, measure_footprint
from tests.footprint.squares import squares

ROLLED = Camera(width=900, height=1200, fill=1.15, tilt=10.0, azimuth=30.0, roll=24.0)


def two(other: tuple[float, float, float]) -> ContactPrint:
    """Return a patch in the middle of the sheet and another one."""
    return ContactPrint("two", (Blob(0.055, 0.07, 0.009), Blob(*other)))


def cut() -> NDArray[np.uint8]:
    """Return a photo that cuts the right one of two patches."""
    photo = squares(two((0.085, 0.085, 0.011)), camera=ROLLED)
    dark = np.flatnonzero((photo.mean(axis=2) < 90.0).any(axis=0))
    return np.ascontiguousarray(photo[:, : int(dark.max()) - 60])


def test_a_patch_cut_by_the_picture_is_refused_though_no_squares_are_followed_there():
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(cut(), reference="grid:5 mm")
    assert caught.value.code == "print-cut-off"
    assert "the edge of the picture at its right" in caught.value.message
    assert "--leave-out" in caught.value.hint


def test_a_patch_that_the_picture_cuts_can_be_left_out_by_hand_and_is_told():
    with pytest.raises(UnmeasurableError) as caught:
        measure_footprint(cut(), reference="grid:5 mm")
    x, y = (1e-3 * float(way) for way in caught.value.hint.split('"')[1].split(","))
    left = measure_footprint(cut(), reference="grid:5 mm", corrections=Corrections(leave_out=((x, y),)))
    assert left.contact_area.value == pytest.approx(math.pi * 0.009**2, rel=0.02)
    assert "corrected-by-hand" in [flag.code for flag in left.flags]
    assert [one.kind for one in left.set_aside].count("left-out") == 1


def test_a_patch_in_a_corner_that_no_rectangle_of_squares_reaches_counts():
    found = measure_footprint(squares(two((0.081, 0.036, 0.006)), camera=ROLLED), reference="grid:5 mm")
    assert len(found.patches) == 2
    truth = math.pi * (0.009**2 + 0.006**2)
    assert found.contact_area.value == pytest.approx(truth, rel=0.02)
    assert found.contact_area.low < truth < found.contact_area.high


def test_a_finger_in_the_corner_is_left_out_and_told():
    photo = squares(two((0.06, 0.1, 0.007)), camera=ROLLED)
    cv2.line(photo, (photo.shape[1] + 60, 40), (photo.shape[1] - 45, 90), (150, 70, 50), 85)
    found = measure_footprint(photo, reference="grid:5 mm")
    assert found.contact_area.value == pytest.approx(math.pi * (0.009**2 + 0.007**2), rel=0.02)
    assert "edge-covered" in [flag.code for flag in found.flags]
