"""How many coins there are in a photo that travels with scikit-image.

Source: C. Rossant, IPython Cookbook, second edition, recipe 11.3 "Segmenting an image" (repository
ipython-books/cookbook-2nd, chapter11_image/03_segmentation.md, page seen), which prints "There are 24 coins."
of skimage.data.coins: brighter than 120, closed by a square of 5, not at the border, more than 100 pixels.
"""

import cv2
import numpy as np
import pytest
from skimage.data import coins
from skimage.measure import label, regionprops
from skimage.morphology import closing, footprint_rectangle
from skimage.segmentation import clear_border

from tameshi.footprint import measure_footprint

PRINTED = 24
FINER = 3  # the nearest coins lie 8 pixels apart: patches are told apart from about 9 pixels on
DPI = 75.0  # of the picture as it is: coins are then about as wide as real ones


@pytest.fixture(scope="module")
def recipe():
    """Return the regions as the recipe makes them."""
    regions = regionprops(label(clear_border(closing(coins() > 120, footprint_rectangle((5, 5))))))
    return [region for region in regions if region.area > 100]


@pytest.fixture(scope="module")
def photo():
    """Return the patches in the photo itself. Coins are bright and ink is dark: it is turned round."""
    finer = cv2.resize(255 - coins(), None, fx=FINER, fy=FINER, interpolation=cv2.INTER_CUBIC)
    return measure_footprint(finer, reference=f"scan:{FINER * DPI:.0f}").patches


def test_the_recipe_still_finds_what_it_prints(recipe):
    assert len(recipe) == PRINTED


def test_as_many_patches_are_found_in_the_photo(photo):
    assert len(photo) == PRINTED


def test_each_patch_is_one_of_the_coins(photo, recipe):
    pixel = 0.0254 / DPI
    found = np.array([patch.centroid for patch in photo]) / pixel - 0.5
    printed = np.array([region.centroid[::-1] for region in recipe])
    away = np.linalg.norm(found[:, None, :] - printed[None, :, :], axis=2)
    # the background is uneven and the recipe's threshold is not: shaded rims go to one and not the other
    assert away.min(axis=1).max() < 5.0
    assert sorted(away.argmin(axis=1)) == list(range(PRINTED))
