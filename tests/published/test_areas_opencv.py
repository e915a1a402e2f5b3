"""Areas against OpenCV's own: contourArea of an exact polygon, countNonZero and moments of a mask.

Source: OpenCV 5, functions contourArea (Green's formula on the vertices), countNonZero, moments and eigen;
the shapes are random polygons, drawn here.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.footprint import FootprintSettings, measure_footprint

DPI = 300.0
PIXEL = 0.0254 / DPI


def random_polygon(seed: int) -> NDArray[np.float64]:
    rng = np.random.default_rng(seed)
    turn = np.sort(rng.uniform(0.0, 2.0 * np.pi, 40))
    radius = 190.0 * (1.0 + 0.15 * np.sin(3.0 * turn + rng.uniform(0.0, 6.0))) + rng.normal(0.0, 6.0, 40)
    return np.column_stack([330.0 + radius * np.cos(turn), 340.0 + radius * np.sin(turn)])


@pytest.mark.parametrize("seed", range(5))
def test_a_polygon_has_the_area_of_its_vertices(seed):
    corners = random_polygon(seed)
    fine = 8  # drawn eight times finer each way, then averaged: partly covered pixels are right
    mask = np.zeros((700 * fine, 700 * fine), np.uint8)
    cv2.fillPoly(mask, [np.rint(corners * fine).astype(np.int32)], 255)
    cover = cv2.resize(mask, (700, 700), interpolation=cv2.INTER_AREA)
    found = measure_footprint(255 - cover, reference=f"scan:{DPI:.0f}")
    exact = cv2.contourArea(corners.astype(np.float32)) * PIXEL**2
    assert found.contact_area.value == pytest.approx(exact, rel=0.003)


@pytest.mark.parametrize("seed", range(5))
def test_a_hard_mask_has_the_area_of_its_pixels(seed):
    mask = np.zeros((700, 700), np.uint8)
    cv2.fillPoly(mask, [np.rint(random_polygon(seed)).astype(np.int32)], 255)
    found = measure_footprint(255 - mask, reference=f"scan:{DPI:.0f}")
    assert found.contact_area.value == pytest.approx(cv2.countNonZero(mask) * PIXEL**2, rel=0.001)


@pytest.mark.parametrize("seed", range(5))
def test_a_mask_has_the_centroid_and_axes_of_its_moments(seed):
    mask = np.zeros((700, 700), np.uint8)
    cv2.fillPoly(mask, [np.rint(random_polygon(seed)).astype(np.int32)], 255)
    # notches between the corners are narrower than a skin gap: next to nothing is closed here
    narrow = FootprintSettings(gap=0.0001)
    (patch,) = measure_footprint(255 - mask, reference=f"scan:{DPI:.0f}", settings=narrow).patches
    sums = cv2.moments(mask, binaryImage=True)
    middle = [(sums[name] / sums["m00"] + 0.5) * PIXEL for name in ("m10", "m01")]
    assert patch.centroid == pytest.approx(middle, abs=0.02 * PIXEL)
    across, product, down = (sums[name] / sums["m00"] for name in ("mu20", "mu11", "mu02"))
    _, squares, _ = cv2.eigen(np.array([[across, product], [product, down]]))
    lengths = 4.0 * np.sqrt(squares.ravel()) * PIXEL
    assert [patch.axes.major.value, patch.axes.minor.value] == pytest.approx(lengths.tolist(), rel=0.002)
