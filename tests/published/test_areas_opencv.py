"""Areas against OpenCV's own: contourArea of an exact polygon, countNonZero of a mask.

Source: OpenCV 5, functions contourArea (Green's formula on the vertices) and countNonZero; the shapes are
random polygons, drawn here.
"""

import cv2
import numpy as np
import pytest
from numpy.typing import NDArray

from tameshi.footprint import measure_footprint

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
