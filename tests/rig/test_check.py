import pytest

from tameshi.errors import UnitError
from tameshi.rig import check_rig, expected_strike
from tests.rig.rigs import rig


def verdicts(checked):
    return {limit.name: limit.verdict for limit in checked.limits}


def test_a_strike_the_rig_can_see():
    checked = check_rig(rig(), expected_strike("2 kN", "10 ms"))
    found = verdicts(checked)
    assert found["cell capacity"] == found["converter range"] == found["sampling"] == "met"
    assert found["natural frequency"] == "met"
    assert checked.verdict == "tight"  # there is no calibration


@pytest.mark.parametrize(
    ("changes", "peak", "duration", "limit"),
    [
        ((), "6 kN", "10 ms", "cell capacity"),
        ((("gain = 200", "gain = 2000"),), "2 kN", "10 ms", "converter range"),
        ((("bits = 16", "bits = 4"),), "1 kN", "10 ms", "converter step"),
        ((('rate = "20 kHz"', 'rate = "300 Hz"'),), "1 kN", "10 ms", "sampling"),
        ((('low_pass = "4 kHz"', 'low_pass = "50 Hz"'),), "1 kN", "10 ms", "anti-alias filter"),
        ((('"2500 Hz"', '"60 Hz"'),), "1 kN", "10 ms", "natural frequency"),
    ],
)
def test_each_limit_fails_where_it_must_and_says_what_would_cure_it(changes, peak, duration, limit):
    checked = check_rig(rig(*changes), expected_strike(peak, duration))
    assert verdicts(checked)[limit] == "not met"
    assert checked.verdict == "not met"
    assert next(one for one in checked.limits if one.name == limit).remedy


def test_a_shorter_pulse_asks_more_of_the_natural_frequency():
    errors = [
        next(
            limit.peak_error or 0.0
            for limit in check_rig(rig(), expected_strike("1 kN", duration)).limits
            if limit.name == "natural frequency"
        )
        for duration in ("1 ms", "4 ms", "20 ms")
    ]
    assert errors == sorted(errors, reverse=True)


def test_rise_of_a_half_sine_stands_in_where_none_is_given():
    assert expected_strike("1 kN", "10 ms").rise == pytest.approx(0.00324549, abs=5e-9)
    assert expected_strike("1 kN", "10 ms", "2 ms").rise == 0.002


def test_units_are_asked_for():
    with pytest.raises(UnitError):
        expected_strike("1000", "10 ms")
