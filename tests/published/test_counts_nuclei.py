"""How many nuclei there are in a micrograph that travels with mahotas.

Source: mahotas, docs/source/labeled.rst, "Filtering Regions" (repository luispedro/mahotas, page seen): of
mahotas.demos.nuclear_image(), smoothed by 4 pixels and above its mean, "42 nuclei were found"; without those
of more than 10000 pixels and those at the border "we have 24 nuclei". Its pixels above the mean are counted,
not the picture itself: there nuclei differ tenfold in brightness, and beside the brightest the others are
stains or thin ink, not contact.
"""

import mahotas
import mahotas.demos
import numpy as np
import pytest

from tameshi.footprint import FootprintSettings, measure_footprint

FOUND, LEFT = 42, 24
LARGEST = 10_000  # pixels
FINER = 3  # the nearest nuclei lie 4 pixels apart: patches are told apart from about 9 pixels on
DPI = 50.0  # of the picture as it is: those gaps are wider than skin's then
MARGIN = 20  # pixels of white paper around: nuclei at the border are cut off by the picture, not by the paper


@pytest.fixture(scope="module")
def mask():
    smooth = mahotas.gaussian_filter(mahotas.demos.nuclear_image()[:, :, 0], 4)
    return smooth > smooth.mean()


@pytest.fixture(scope="module")
def patches(mask):
    """Return the patches where the nuclei are drawn as ink on white paper."""
    drawn = np.pad(np.where(mask, 30, 250).astype(np.uint8), MARGIN, constant_values=250)
    finer = np.repeat(np.repeat(drawn, FINER, axis=0), FINER, axis=1)
    whole = FootprintSettings(most_pixels=finer.size)
    return measure_footprint(finer, reference=f"scan:{FINER * DPI:.0f}", settings=whole).patches


def test_the_picture_is_the_one_of_the_manual(mask):
    labels, found = mahotas.label(mask)
    _, left = mahotas.labeled.filter_labeled(labels, remove_bordering=True, max_size=LARGEST)
    assert (found, left) == (FOUND, LEFT)


def test_as_many_patches_are_found(patches):
    assert len(patches) == FOUND


def test_as_many_are_left_without_lumps_and_those_at_the_border(patches, mask):
    pixel = 0.0254 / DPI
    rows, columns = mask.shape
    whole = []
    for patch in patches:
        x, y = (np.concatenate(patch.outlines) / pixel - MARGIN).T
        inside = x.min() > 1.0 and y.min() > 1.0 and x.max() < columns - 1.0 and y.max() < rows - 1.0
        whole.append(inside and patch.contact_area.value / pixel**2 <= LARGEST)
    assert sum(whole) == LEFT


def test_each_patch_has_as_many_pixels_as_its_nucleus(patches, mask):
    labels, _ = mahotas.label(mask)
    pixels = np.sort(mahotas.labeled.labeled_size(labels)[1:])
    areas = np.sort([patch.contact_area.value / (0.0254 / DPI) ** 2 for patch in patches])
    assert areas == pytest.approx(pixels, rel=0.001)
