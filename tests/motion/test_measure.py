"""Figures of rendered strikes against what they were rendered from."""

from dataclasses import replace

import numpy as np
import pytest

from tameshi.demo.film_motion import Thrust
from tameshi.errors import UnmeasurableError
from tameshi.motion import (
    FIGURES,
    Standing,
    contact_at_frame,
    measure_motion,
    motion_as_dict,
    track_png,
    track_rows,
)
from tameshi.quantity import Quantity
from tests.known import known
from tests.motion.films import SMALL, as_film, bar_scale, measured, plain, rendered


def test_every_figure_of_a_strike_holds_the_truth():
    thrust = Thrust(speed=8.0, reach=0.55, peak_at=0.9, restitution=0.3)
    found = measured(plain(thrust=thrust), SMALL)
    peak = thrust.speed / np.sin(0.5 * np.pi / thrust.peak_at) ** 2
    true = {"speed_at_contact": 8.0, "peak_speed": peak, "reach": 0.55, "rebound_speed": 2.4}
    for name, value in true.items():
        figure = found.figure(name)
        assert isinstance(figure, Quantity)
        half = 0.5 * (figure.high - figure.low)
        assert abs(figure.value - value) < max(1.5 * half, 0.06 * value), name
    # 5 % of the peak speed is passed at sin^2(pi t / 2 T) = 0.05
    lasts = thrust.lasts * (1.0 - thrust.peak_at * np.arcsin(np.sqrt(0.05)) / (0.5 * np.pi))
    assert known(found.movement_time).value == pytest.approx(lasts, abs=0.004)


def test_speed_is_fitted_only_to_frames_before_contact():
    """Frames after contact changed beyond knowing: the speed at contact stays as it is."""
    scene = plain()
    filmed = rendered(scene, SMALL)
    at = int(np.searchsorted(filmed.times, filmed.contact))
    whole = measured(scene, SMALL)
    told = contact_at_frame(as_film(filmed), at + 1)
    one = measured(scene, SMALL, contact=told)
    assert whole.path.times[whole.frames_before] <= whole.contact.latest
    assert known(one.speed_at_contact).value == pytest.approx(8.0, rel=0.03)
    assert abs(known(whole.speed_at_contact).value - known(one.speed_at_contact).value) < 0.3


def test_the_budget_names_what_was_not_stated():
    loose = measured(plain(), SMALL, standing=Standing())
    tight = measured(plain(), SMALL)
    assert {"distance off the plane", "angle of the motion", "camera not square", "places and motion"} <= set(
        known(loose.speed_at_contact).budget
    )
    assert known(loose.speed_at_contact).u > 1.5 * known(tight.speed_at_contact).u
    assert "distance-assumed" in {flag.code for flag in loose.flags}
    assert not tight.flags


def test_half_a_film_a_second_is_too_few_frames():
    with pytest.raises(UnmeasurableError) as refused:
        measured(plain(), replace(SMALL, rate=25.0))
    assert refused.value.code in {"too-few-frames", "contact-not-seen"}


def test_a_smear_longer_than_the_marker_is_refused():
    thrust = Thrust(speed=14.0, reach=0.8)
    with pytest.raises(UnmeasurableError) as refused:
        measured(plain(thrust=thrust, marker=0.02, contact_at=(0.35, 0.0)), replace(SMALL, exposure=1 / 245))
    assert refused.value.code in {"smear-too-long", "marker-lost", "contact-not-seen"}


def test_no_strike_goes_at_sixty_metres_a_second():
    filmed = rendered(plain(), SMALL)
    taken, scale = as_film(filmed), bar_scale(filmed)
    with pytest.raises(UnmeasurableError) as refused:
        measure_motion(taken, measured(plain(), SMALL).track, replace(scale, matrix=10.0 * scale.matrix))
    assert refused.value.code == "not-a-strike"


def test_the_record_holds_every_figure_and_the_picture_every_frame():
    filmed = rendered(plain(), SMALL)
    taken, found = as_film(filmed), measured(plain(), SMALL)
    told = motion_as_dict(taken, found, "a round marker")
    assert set(FIGURES) <= set(told)
    assert told["contact"]["frame"] == 1 + int(np.searchsorted(filmed.times, found.contact.time))
    assert len(track_rows(taken, found)) == len(filmed.frames)
    assert track_png(taken, found).startswith(b"\x89PNG")
