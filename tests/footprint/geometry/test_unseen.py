"""What of the paper lies beyond the picture."""

import numpy as np

from tameshi.footprint.geometry.box import Box
from tameshi.footprint.geometry.plane import Plane, stated_plane
from tameshi.footprint.geometry.unseen import unseen

MILLIMETRE = 0.001


def test_nothing_is_unseen_where_all_of_the_paper_is_in_the_picture():
    assert (
        unseen(stated_plane((MILLIMETRE, MILLIMETRE)), Box(0.0, 0.0, 0.1, 0.08), MILLIMETRE, (100, 80))
        is None
    )


def test_paper_beyond_each_edge_is_unseen_to_the_pixel():
    region = Box(-0.010, -0.005, 0.110, 0.100)
    mask = unseen(stated_plane((MILLIMETRE, MILLIMETRE)), region, MILLIMETRE, (100, 80))
    assert mask is not None
    assert mask.shape == (105, 120)
    expected = np.ones((105, 120), np.uint8)
    expected[5:85, 10:110] = 0
    assert np.count_nonzero(mask != expected) <= 2 * (100 + 80)  # a pixel along the edge


def test_a_turned_picture_leaves_the_corners_unseen():
    turn = np.deg2rad(45.0)
    c, s = np.cos(turn) / MILLIMETRE, np.sin(turn) / MILLIMETRE
    plane = Plane(np.array([[c, -s, 0.0], [s, c, 0.0], [0.0, 0.0, 1.0]]), np.zeros((8, 8)))
    mask = unseen(plane, Box(0.0, -0.05, 0.1, 0.05), MILLIMETRE, (71, 71))
    assert mask is not None
    assert mask[0, 0] == mask[-1, -1] == 1
    assert mask[50, 50] == 0
    assert abs(float(mask.mean()) - 0.5) < 0.03
