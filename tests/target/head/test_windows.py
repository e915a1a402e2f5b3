import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.target.head import injury_criterion, pulse_of, severity_index
from tests.target.head.pulses import plain_search, refined

ACCELERATIONS = st.lists(st.floats(-50.0, 200.0).map(lambda x: round(x, 3)), min_size=2, max_size=60)
RATES = st.sampled_from([500.0, 1000.0, 3333.0, 20_000.0])
LONGEST = st.sampled_from([0.015, 0.036, 0.0021])


@given(ACCELERATIONS, RATES, LONGEST)
@settings(max_examples=200, deadline=None)
def test_windows_on_samples_are_those_of_the_plain_search(acceleration, rate, longest):
    pulse = pulse_of(acceleration, rate)
    found = injury_criterion(pulse, longest, ends="samples")
    assert found.value == pytest.approx(plain_search(pulse, longest), rel=1e-9, abs=1e-12)
    assert (found.start * rate, found.end * rate) == pytest.approx(
        (round(found.start * rate), round(found.end * rate)), abs=1e-9
    )


@given(ACCELERATIONS, RATES, LONGEST)
@settings(max_examples=60, deadline=None)
def test_nothing_between_samples_is_better_than_what_is_found(acceleration, rate, longest):
    pulse = pulse_of(acceleration[:20], rate)
    found = injury_criterion(pulse, longest)
    assert found.value >= plain_search(refined(pulse, 7), longest) * (1.0 - 1e-9)
    assert found.end - found.start <= longest * (1.0 + 1e-9)
    # the window that is told gives the value that is told
    if found.value > 1e-9:
        time = np.linspace(found.start, found.end, 20_001)
        mean = np.interp(time, np.arange(len(pulse.acceleration)) / rate, pulse.acceleration).mean()
        assert (found.end - found.start) * mean**2.5 == pytest.approx(found.value, rel=2e-2)


@given(ACCELERATIONS, RATES)
@settings(max_examples=60, deadline=None)
def test_order_of_the_measures(acceleration, rate):
    pulse = pulse_of(acceleration, rate)
    short, long = (injury_criterion(pulse, longest).value for longest in (0.015, 0.036))
    slack = 1.0 + 1e-9
    assert short <= long * slack
    assert long <= severity_index(pulse) * slack + 1e-12


@given(ACCELERATIONS, RATES)
@settings(max_examples=60, deadline=None)
def test_turning_a_pulse_round_changes_nothing(acceleration, rate):
    there, back = (
        injury_criterion(pulse_of(one, rate), 0.015).value for one in (acceleration, acceleration[::-1])
    )
    assert there == pytest.approx(back, rel=1e-8, abs=1e-12)


@given(st.floats(0.1, 30.0), st.floats(0.1, 30.0))
@settings(max_examples=40, deadline=None)
def test_scaling(size, stretch):
    shape = np.random.default_rng(4).uniform(0.0, 1.0, 50)
    one = injury_criterion(pulse_of(shape, 1e4), 0.002).value
    other = injury_criterion(pulse_of(size * shape, 1e4 / stretch), 0.002 * stretch).value
    assert other == pytest.approx(size**2.5 * stretch * one, rel=1e-8)


def test_a_long_level_pulse_takes_the_whole_window():
    found = injury_criterion(pulse_of(np.full(5000, 40.0), 10_000.0), 0.015)
    assert found.value == pytest.approx(0.015 * 40.0**2.5, rel=1e-9)
    assert found.end - found.start == pytest.approx(0.015)


def test_a_pulse_that_only_brakes_has_none():
    assert injury_criterion(pulse_of([-3.0, -2.0, 0.0, -1.0], 1000.0), 0.015).value == 0.0


@pytest.mark.parametrize("longest", [0.0, -1.0, float("nan"), float("inf")])
def test_an_impossible_window(longest):
    with pytest.raises(WrongUseError, match="window"):
        injury_criterion(pulse_of([1.0, 2.0], 10.0), longest)


@pytest.mark.parametrize(
    ("acceleration", "rate", "code"),
    [
        ([1.0], 10.0, "too-short"),
        ([1.0, float("nan")], 10.0, "no-numbers"),
        ([1.0, 2.0], 0.0, "wrong-rate"),
        ([1.0, 2.0], float("inf"), "wrong-rate"),
    ],
)
def test_what_is_no_pulse(acceleration, rate, code):
    with pytest.raises((UnmeasurableError, WrongUseError)) as refused:
        pulse_of(acceleration, rate)
    assert refused.value.code == code
