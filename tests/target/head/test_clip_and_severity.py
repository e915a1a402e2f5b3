import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.target.head import clip_level, head_measures, pulse_of, severity_index
from tests.target.head.pulses import refined

ACCELERATIONS = st.lists(st.floats(-20.0, 150.0).map(lambda x: round(x, 3)), min_size=2, max_size=40)


@given(ACCELERATIONS)
@settings(max_examples=80, deadline=None)
def test_the_levels_against_counting(acceleration):
    pulse = pulse_of(acceleration, 2000.0)
    fine = refined(pulse, 400)
    held = 0.003
    for reading in ("contiguous", "summed"):
        level = clip_level(pulse, reading)
        lasting = [
            _lasts(fine.acceleration, one, reading) / fine.rate for one in (0.999 * level, 1.001 * level)
        ]
        if level > 0.0:
            assert lasting[0] >= held - 3e-3 / 400 * len(acceleration)
            assert lasting[1] <= held + 3e-3 / 400 * len(acceleration) or level == max(acceleration)
        else:
            assert _lasts(fine.acceleration, 1e-9, reading) / fine.rate <= held + 1e-5
    assert clip_level(pulse, "contiguous") <= clip_level(pulse, "summed") * (1.0 + 1e-9)


def _lasts(samples, level, reading):
    above = samples >= level
    if reading == "summed":
        return int(above.sum())
    breaks = np.flatnonzero(~np.concatenate(([False], above, [False])))
    return int(np.diff(breaks).max() - 1)


@given(ACCELERATIONS)
@settings(max_examples=60, deadline=None)
def test_the_severity_index_against_fine_steps(acceleration):
    pulse = pulse_of(acceleration, 2000.0)
    fine = refined(pulse, 400)
    middle = np.maximum(0.5 * (fine.acceleration[1:] + fine.acceleration[:-1]), 0.0)
    assert severity_index(pulse) == pytest.approx(float((middle**2.5).sum() * fine.step), rel=1e-4, abs=1e-6)


def test_a_nearly_level_pulse_loses_no_digits():
    level = severity_index(pulse_of([80.0, 80.0], 100.0))
    assert severity_index(pulse_of([80.0, 80.0 + 1e-9], 100.0)) == pytest.approx(level, rel=1e-10)
    steep = pulse_of([80.0, 80.0 * 1.0201], 100.0)
    assert severity_index(steep) == pytest.approx(
        0.01 * 80.0**2.5 * (1.0201**3.5 - 1.0) / (3.5 * 0.0201), rel=1e-12
    )


def test_a_pulse_shorter_than_three_milliseconds_holds_nothing():
    pulse = pulse_of([0.0, 100.0, 0.0], 1000.0)
    assert clip_level(pulse, "contiguous") == 0.0
    assert clip_level(pulse, "summed") == 0.0


def test_a_level_pulse_holds_its_own_level():
    assert clip_level(pulse_of([30.0, 30.0], 1.0 / 0.003), "contiguous") == 30.0


def test_a_reading_that_is_not_in_use():
    with pytest.raises(WrongUseError, match="mean"):
        clip_level(pulse_of([1.0, 2.0], 10.0), "mean")  # type: ignore[arg-type]


def test_all_measures_say_that_they_are_modelled():
    found = head_measures(pulse_of([0.0, 60.0, 60.0, 0.0], 200.0))
    assert found.is_modelled
    assert found.peak == 60.0
    assert found.hic15.value <= found.hic36.value <= found.severity
