"""Smaller copies of a picture."""

import numpy as np
import pytest

from tameshi.footprint.picture.view import View

PIXELS = np.random.default_rng(8).integers(0, 256, (67, 53, 3), np.uint8)


@pytest.mark.parametrize("factor", [1, 2, 3, 4, 6])
def test_a_smaller_copy_averages_whole_squares(factor):
    rows, columns = (side // factor for side in PIXELS.shape[:2])
    whole = PIXELS[: rows * factor, : columns * factor].astype(float)
    means = whole.reshape(rows, factor, columns, factor, 3).mean(axis=(1, 3))
    # each halving rounds to whole values
    assert np.abs(View(PIXELS).smaller(factor) - means).max() <= 1.0


@pytest.mark.parametrize("factor", [1, 2, 3, 4, 6])
def test_a_grey_copy_is_the_copy_in_grey(factor):
    """Weights of red, green and blue: ITU-R BT.601, value from memory."""
    view = View(PIXELS)
    grey = view.smaller(factor).astype(float) @ (0.299, 0.587, 0.114)
    assert np.abs(view.smaller(factor, grey=True) - grey).max() <= 1.5


def test_a_copy_is_made_once():
    view = View(PIXELS)
    assert view.smaller(4) is view.smaller(4)
