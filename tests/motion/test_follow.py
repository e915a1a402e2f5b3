"""Tracks lie where the renderer put the marker, to a fraction of a pixel, through blur and turning."""

from dataclasses import replace

import numpy as np
import pytest

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.motion import Film, begin, follow, parse_follow
from tests.motion.films import QUIET, SMALL, as_film, plain, rendered


def track_of(scene, camera, what="round"):
    filmed = rendered(scene, camera)
    taken = as_film(filmed)
    x, y = filmed.marker_at[0]
    begun = begin(taken, parse_follow("marker 3" if what == "square" else f"{x:.2f},{y:.2f}"))
    track = follow(taken, begun.pattern, begun.place, begun.index)
    off = track.places - filmed.marker_at
    return filmed, track, off - np.nanmedian(off, axis=0)


@pytest.mark.parametrize(
    ("scene", "what"),
    [(plain(), "round"), (plain(marker=0.0), "patch"), (plain(fist_marker=3), "square")],
    ids=["round", "patch", "square"],
)
def test_places_are_right_to_a_tenth_of_a_pixel(scene, what):
    _, track, off = track_of(scene, SMALL, what)
    assert len(track.seen) == len(off)
    assert np.sqrt(np.mean(off**2)) < 0.1


def test_a_long_smear_moves_nothing():
    # nearly the whole time between frames: 10 pixels, the marker has 13
    _, track, off = track_of(plain(), replace(SMALL, exposure=1 / 260))
    assert track.smear.max() > 8.0
    assert np.sqrt(np.mean(off**2)) < 0.25


def test_the_smear_tells_how_long_the_exposure_was():
    _, track, _ = track_of(plain(), replace(SMALL, exposure=1 / 400, noise=0.5))
    assert track.exposure_share == pytest.approx(240 / 400, abs=0.12)


def test_the_stated_doubt_of_a_place_is_that_of_the_places():
    filmed, track, off = track_of(plain(), SMALL)
    fast = np.abs(filmed.times - filmed.contact) < 0.06
    z = off[fast] / np.maximum(track.u[fast], 0.02)
    assert 0.3 < z.std() < 3.0


def test_a_marker_is_found_without_being_picked():
    filmed = rendered(plain(), SMALL)
    begun = begin(as_film(filmed), parse_follow(None), but=7)
    assert begun.place == pytest.approx(filmed.marker_at[begun.index], abs=0.3)
    assert begun.pattern.is_round


def test_what_is_even_is_not_followed():
    taken = Film(frames=np.full((8, 100, 100), 90, np.uint8), times=np.arange(8) / 240)
    with pytest.raises(UnmeasurableError, match="nothing to follow") as refused:
        begin(taken, parse_follow("50,50"))
    assert refused.value.code == "nothing-to-follow"
    with pytest.raises(UnmeasurableError) as refused:
        begin(taken, parse_follow(None))
    assert refused.value.code == "no-marker"


def test_what_vanishes_is_lost():
    filmed = rendered(plain(), QUIET)
    frames = [filmed.frames[0], *([np.full_like(filmed.frames[0], 80)] * 20)]
    taken = Film(frames=np.stack(frames), times=np.arange(21) / 240)
    x, y = filmed.marker_at[0]
    begun = begin(taken, parse_follow(f"{x},{y}"))
    with pytest.raises(UnmeasurableError) as refused:
        follow(taken, begun.pattern, begun.place, begun.index)
    assert refused.value.code == "marker-lost"


@pytest.mark.parametrize("text", ["", "fist", "12", "12,13 in frame", "marker x", "1.2.3,4", "marker 77"])
def test_what_is_typed_wrongly_is_refused(text):
    with pytest.raises(WrongUseError):
        parse_follow(text)
