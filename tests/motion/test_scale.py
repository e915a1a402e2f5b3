"""Scales from a picked length and from a square marker; places of impact of several films."""

import numpy as np
import pytest

from tameshi.errors import UnitError, UnmeasurableError, WrongUseError
from tameshi.motion import (
    find_squares,
    parse_length,
    precision,
    scale_of_length,
    scale_of_square,
    still_marker,
)
from tameshi.quantity import Quantity, Source
from tests.motion.films import SMALL, as_film, plain, rendered


def length(text, **changes):
    return parse_length(
        text, **{"picked_within": 2.0, "known_within": None, "default_within": 0.001, **changes}
    )


def test_a_typed_length_is_a_scale():
    scale = scale_of_length(length("100,200 400,600 = 1 m"))
    assert scale.metre == pytest.approx(1.0 / 500.0)
    assert scale.picking == pytest.approx(np.sqrt(2.0) * 2.0 / np.sqrt(3.0) / 500.0)


@pytest.mark.parametrize("text", ["", "100,200 = 1 m", "100,200 400,600", "a,b c,d = 1 m", "1,1 2,2 = 1 m"])
def test_a_length_typed_wrongly_is_refused(text):
    with pytest.raises(WrongUseError):
        length(text)


def test_a_length_without_unit_is_refused():
    with pytest.raises(UnitError):
        length("100,200 400,600 = 1")


def test_a_marker_in_the_film_gives_the_true_scale():
    """True: the renderer's distance over its focal length."""
    filmed = rendered(plain(board_marker=0.12), SMALL)
    marker = still_marker(as_film(filmed), 7)
    scale = scale_of_square(marker.corners, 0.12, corner_u=marker.corner_u, side_within=1e-4, said="")
    true = SMALL.distance / SMALL.focal
    assert scale.matrix == pytest.approx(np.diag([true, true]), rel=0.006, abs=2e-5)
    assert marker.moved < 0.2


def test_a_marker_that_is_not_there_is_named_with_those_that_are():
    filmed = rendered(plain(board_marker=0.12), SMALL)
    assert list(find_squares(filmed.frames[0])) == [7]
    with pytest.raises(UnmeasurableError, match="there are 7"):
        still_marker(as_film(filmed), 5)


def test_scatter_leaves_out_what_all_films_share():
    shared = Source("setup", "scale")
    places = [
        (
            Quantity(x, "m", {shared: 0.05, Source(f"{n}", "places"): 0.001}),
            Quantity(0.1, "m", {shared: 0.05, Source(f"{n}", "places"): 0.002}),
        )
        for n, x in enumerate((0.10, 0.12, 0.14))
    ]
    found = precision(places)
    assert found.right.sd == pytest.approx(0.02)
    assert found.right.measured_u == pytest.approx(0.001)
    assert found.up.sd == pytest.approx(0.0, abs=1e-12)
    with pytest.raises(WrongUseError):
        precision(places[:2])
