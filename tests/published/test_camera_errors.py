"""What a camera's standing does to speeds: figures of optics and geometry, and films rendered by them.

Sources: pinhole geometry and line-by-line exposure, derived; values computed beforehand from the formulas
named at each test (derived). The renderer projects points of space and exposes each row in its own time: it
knows none of these formulas.
"""

from dataclasses import replace

import numpy as np
import pytest

from tameshi.demo.film_motion import Thrust
from tameshi.motion import (
    perspective_error,
    rolling_shutter_error,
    slant_error,
    speed_u_of_line,
    travel_per_frame,
)
from tests.known import known
from tests.motion.films import EXACT, QUIET, measured, plain, rendered
from tests.published.as_printed import as_printed

LATEST = 0.004  # longest read-out of these films: frames that are before contact whatever the row
STEADY = Thrust(speed=8.0, reach=0.5, peak_at=1.0, contact=0.006)


def reading(scene, camera):
    """Speed on film over the true one: a straight line through the places of five frames before contact."""
    filmed = rendered(scene, camera)
    path = measured(scene, camera).path
    before = np.flatnonzero(filmed.times + LATEST < filmed.contact)[-5:]
    return np.polyfit(path.times[before], path.way[before], 1)[0] / scene.thrust.speed


@pytest.mark.parametrize(
    ("offset", "distance", "printed"), [(0.10, 3.0, "3.33"), (0.15, 2.0, "7.5"), (0.10, 5.0, "2.0")]
)
def test_nearer_looks_faster(offset, distance, printed):
    # dz/Z, to first order: the exact error is larger by its own share
    exact = perspective_error(offset, distance)
    assert 100.0 * exact / (1.0 + exact) == as_printed(printed)


@pytest.mark.parametrize(("angle", "printed"), [(5, "0.38"), (10, "1.52"), (15, "3.41"), (20, "6.03")])
def test_a_slanting_motion_looks_slower(angle, printed):
    # 1 - cos
    assert 100.0 * slant_error(np.radians(angle)) == as_printed(printed)


@pytest.mark.parametrize(
    ("speed", "read_out", "printed"), [(10.0, 0.008, "5.63"), (-10.0, 0.008, "-5.06"), (10.0, 0.016, "11.9")]
)
def test_a_rolling_shutter_runs_after_what_goes_its_way(speed, read_out, printed):
    # v/(1 - v Tr/H), H = 1.5 m
    assert 100.0 * rolling_shutter_error(speed, read_out, 1.5) == as_printed(printed)


def test_the_scatter_of_a_line_through_places():
    # u_v = u_x f / sqrt(sum (i - mean)^2): 2 mm, 240 frames a second
    assert speed_u_of_line(0.002, 240.0, 2) == as_printed("0.679")
    assert speed_u_of_line(0.002, 240.0, 5) == as_printed("0.152")


@pytest.mark.parametrize(("rate", "printed"), [(60, "166.7"), (120, "83.3"), (240, "41.7"), (960, "10.4")])
def test_the_way_from_frame_to_frame(rate, printed):
    assert 1000.0 * travel_per_frame(10.0, rate) == as_printed(printed)


def test_a_film_of_a_nearer_strike_reads_as_the_formula_says():
    scene = plain(thrust=STEADY)
    square = reading(scene, QUIET)
    nearer = reading(replace(scene, off_plane=-0.10), QUIET)
    assert nearer / square - 1.0 == pytest.approx(perspective_error(0.10, 3.0), abs=0.003)


def test_a_film_of_a_slanting_strike_reads_as_the_formula_says():
    # the five frames lie around the middle of the picture and around the plane (their middle is 3.4 frames of
    # 33 mm before contact): what nearing the camera does cancels
    angle = np.radians(20.0)
    scene = plain(thrust=STEADY, contact_at=(0.113 * np.cos(angle), 0.0), board=(0.0, 0.25))
    square = reading(scene, QUIET)
    slanting = reading(replace(scene, out_of_plane=20.0, off_plane=0.113 * np.sin(angle)), QUIET)
    assert 1.0 - slanting / square == pytest.approx(slant_error(angle), abs=0.005)


@pytest.mark.parametrize("upwards", [-90.0, 90.0])
def test_a_film_by_a_rolling_shutter_reads_as_the_formula_says(upwards):
    # straight down or up, along the rows' order; the picture shows 360 rows of 3/960 m
    at = (0.2, 0.35) if upwards < 0.0 else (0.2, -0.35)
    scene = plain(thrust=replace(STEADY, reach=0.7), contact_at=at, upwards=upwards, board=(-0.3, 0.3))
    at_once, in_rows = reading(scene, QUIET), reading(scene, replace(QUIET, read_out=0.004))
    down = 8.0 if upwards < 0.0 else -8.0
    error = rolling_shutter_error(down, 0.004, 360 * 3.0 / 960.0)
    # the marker is seen up to 4 ms later, when it is faster by half a per cent
    assert in_rows / at_once - 1.0 == pytest.approx(error, abs=0.008)


def test_a_stated_read_out_takes_its_error_away():
    scene = plain(thrust=replace(STEADY, reach=0.6), contact_at=(0.2, 0.3), upwards=-90.0, board=(-0.3, 0.3))
    camera = replace(QUIET, read_out=0.004)
    found = measured(scene, camera, standing=replace(EXACT, read_out=0.004))
    assert known(found.speed_at_contact).value == pytest.approx(8.0, rel=0.02)
