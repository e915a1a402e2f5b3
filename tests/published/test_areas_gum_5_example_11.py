"""Area from pixels: an inner and an outer profile bound it.

Source: GUM-5:2026, example 11 (numbers as quoted in a stored copy; the text was not read): inner profile 47
pixels, outer profile 85 pixels, area 66, standard uncertainty (85 - 47)/sqrt 12 = 10.9697, printed 11.
"""

import math

import numpy as np
import pytest

from tameshi.footprint import measure_footprint
from tameshi.quantity import rectangular
from tests.published.as_printed import as_printed

INNER, OUTER = 47, 85


def test_the_printed_area_and_uncertainty():
    area = rectangular(0.5 * (INNER + OUTER), 0.5 * (OUTER - INNER), "1", key="profiles", name="profiles")
    assert area.value == as_printed("66")
    assert area.u == as_printed("11")
    assert area.u == pytest.approx((OUTER - INNER) / math.sqrt(12.0), rel=1e-12)


def test_a_print_of_that_many_pixels_lies_between_its_profiles():
    """The example's own disc of 66 pixels, enlarged until a print can be measured: areas stay between."""
    radius, enlarged = math.sqrt(0.5 * (INNER + OUTER) / math.pi), 12
    side = 160
    y, x = np.mgrid[0:side, 0:side] - 0.5 * side + 0.3
    cover = np.clip(radius * enlarged / 2.0 - np.hypot(x, y) + 0.5, 0.0, 1.0)
    scan = np.rint(255.0 * (1.0 - cover)).astype(np.uint8)
    found = measure_footprint(scan, reference="scan:254")
    pixels = found.contact_area.value / 0.0001**2
    inner, outer = np.count_nonzero(cover == 1.0), np.count_nonzero(cover > 0.0)
    assert inner < pixels < outer
    assert pixels == pytest.approx(0.5 * (inner + outer), rel=0.01)
    # what the profiles alone would leave uncertain is far more than shares of pixels do
    assert found.contact_area.budget["resolution"] / 0.0001**2 < (outer - inner) / math.sqrt(12.0)
