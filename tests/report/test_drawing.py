"""Thinning a curve: fewer points, the same look, no peak lost."""

import numpy as np
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from tameshi.report.drawing import Axis, Point, Series, farthest, thinned

curves = arrays(np.float64, st.integers(2, 3000), elements=st.floats(-1e4, 1e4))


@given(curves, st.floats(0.0, 100.0))
def test_what_is_left_stays_within_the_tolerance_of_every_extreme(values, tolerance):
    kept = thinned(values, most=200, tolerance=tolerance)
    line = np.interp(np.arange(len(values)), kept, values[kept])
    assert kept[0] == 0
    assert kept[-1] == len(values) - 1
    assert abs(line.max() - values.max()) <= tolerance
    assert abs(line.min() - values.min()) <= tolerance


@given(curves)
def test_no_more_points_are_kept_than_a_drawing_can_tell_apart(values):
    assert len(thinned(values, most=200, tolerance=0.0)) <= 2 * 200 + 2


def test_a_smooth_pulse_needs_few_points():
    time = np.linspace(0.0, np.pi, 200_000)
    kept = thinned(np.sin(time), most=400, tolerance=0.0025)
    assert len(kept) < 40


def test_a_spike_of_one_sample_is_not_lost():
    values = np.zeros(500_000)
    values[123_456] = 1.0
    assert 123_456 in thinned(values, most=400, tolerance=0.0025)


def test_scales_turn_into_each_other_and_back():
    newtons, pounds = Axis("force", "N", 1.0), Axis("force", "lbf", 4.4482216152605)
    there, back = newtons.other(pounds)
    # common practice, no source: 4000 N is about 900 lbf
    assert abs(there(4000.0) - 899.2) < 0.1
    assert np.allclose(back(there(np.array([1.0, 2.0]))), [1.0, 2.0])


def test_one_wide_interval_does_not_squeeze_the_rest():
    narrow, wide = Point(1.0, 0.9, 1.1), Point(1.2, 0.5, 40.0)
    end = farthest((Series("a", (narrow, wide), None),))
    assert 1.2 < end < 3.0


def test_a_scale_without_points_still_has_an_end():
    assert farthest(()) > 0.0
