"""Patches against scikit-image's region properties, on the same masks.

Source: scikit-image 0.26, measure.label and measure.regionprops: area, area_filled, centroid, bounding box,
perimeter_crofton, axis_major_length, axis_minor_length, orientation (from down the picture, anticlockwise).
"""

import math

import numpy as np
import pytest
from skimage.draw import disk, ellipse
from skimage.measure import label, regionprops

from tameshi.footprint import measure_footprint
from tameshi.quantity import Missing
from tests.known import known

DPI = 300.0
PIXEL = 0.0254 / DPI


@pytest.fixture(scope="module")
def mask():
    drawn = np.zeros((700, 900), np.uint8)
    drawn[ellipse(200, 250, 90, 140, rotation=0.5)] = 1
    drawn[disk((480, 300), 70)] = 1
    drawn[disk((480, 600), 120)] = 1
    drawn[disk((480, 600), 35)] = 0  # 6 mm across: no skin gap
    return drawn


@pytest.fixture(scope="module")
def found(mask):
    return measure_footprint(np.where(mask > 0, 30, 250).astype(np.uint8), reference=f"scan:{DPI:.0f}")


@pytest.fixture(scope="module")
def regions(mask):
    found = regionprops(label(mask))
    return sorted(found, key=lambda region: -region.area)


def test_there_are_as_many_patches_as_regions(found, regions):
    assert len(found.patches) == len(regions) == 3


def test_each_patch_has_its_regions_area(found, regions):
    for patch, region in zip(found.patches, regions, strict=True):
        assert patch.contact_area.value == pytest.approx(region.area * PIXEL**2, rel=0.002)


def test_the_hollow_is_what_filling_adds(found, regions):
    hollow = (regions[0].area_filled - regions[0].area) * PIXEL**2
    assert found.patches[0].hollow_area == pytest.approx(hollow, rel=0.02)


def test_each_patch_is_where_its_region_is(found, regions):
    for patch, region in zip(found.patches, regions, strict=True):
        row, column = region.centroid
        assert patch.centroid == pytest.approx(((column + 0.5) * PIXEL, (row + 0.5) * PIXEL), abs=PIXEL)
        top, left, bottom, right = region.bbox
        assert patch.width == pytest.approx((right - left) * PIXEL, abs=2.5 * PIXEL)
        assert patch.height == pytest.approx((bottom - top) * PIXEL, abs=2.5 * PIXEL)


def test_each_patch_has_its_regions_perimeter(found, regions):
    for patch, region in zip(found.patches, regions, strict=True):
        assert patch.perimeter == pytest.approx(region.perimeter_crofton * PIXEL, rel=0.06)


def test_each_patch_has_its_regions_axes(found, regions):
    for patch, region in zip(found.patches, regions, strict=True):
        axes = patch.axes
        assert axes.major.value == pytest.approx(region.axis_major_length * PIXEL, rel=0.002)
        assert axes.minor.value == pytest.approx(region.axis_minor_length * PIXEL, rel=0.002)


def test_the_ellipse_lies_as_its_region_does_and_the_rings_point_no_way(found, regions):
    pairs = list(zip(found.patches, regions, strict=True))
    ((patch, region),) = [pair for pair in pairs if pair[1].eccentricity > 0.5]
    down = math.pi / 2.0 - region.orientation
    turned = (known(patch.axes.direction).value - down + math.pi / 2.0) % math.pi - math.pi / 2.0
    assert abs(turned) < 0.002
    rings = [one for one, other in pairs if other is not region]
    assert len(rings) == 2
    assert all(isinstance(one.axes.direction, Missing) for one in rings)
