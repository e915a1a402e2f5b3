"""What a rig reads of an expected strike, against closed forms and identities."""

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.rig import (
    check_rig,
    effect_of_noise,
    effect_of_sampling,
    effect_on,
    expected_strike,
    force_of_strike,
    peak_ratio,
    quiet_noise,
    read_strike,
    worst_under_read,
)
from tests.rig.rigs import rig

STRIKE = expected_strike("2 kN", "10 ms")


def test_a_half_sine_is_what_its_rise_says():
    time = np.linspace(0.0, 0.01, 1001)
    assert force_of_strike(STRIKE, time) == pytest.approx(2000.0 * np.sin(np.pi * time / 0.01), abs=1e-6)


@given(st.floats(0.05, 0.6))
def test_a_skewed_pulse_has_the_rise_that_was_asked(share):
    strike = expected_strike("1 kN", "10 ms", f"{10.0 * share} ms")
    time = np.linspace(0.0, 0.01, 400_001)
    force = force_of_strike(strike, time)
    top = int(np.argmax(force))
    rise = np.interp(900.0, force[: top + 1], time[: top + 1]) - np.interp(
        100.0, force[: top + 1], time[: top + 1]
    )
    assert rise == pytest.approx(strike.rise, rel=1e-3)
    assert force.max() == pytest.approx(1000.0, rel=1e-6)
    # derived: quarters of sines of any length together hold 2/pi of peak times duration
    assert np.trapezoid(force, time) == pytest.approx(2.0 / math.pi * 1000.0 * 0.01, rel=1e-4)


@pytest.mark.parametrize(
    ("cycles", "damping"), [(1.0, 0.05), (3.0, 0.0), (5.0, 0.05), (10.0, 0.1), (50.0, 0.0)]
)
def test_the_cell_overshoots_as_in_closed_form(cycles, damping):
    seen = read_strike(STRIKE, cell=(cycles / 0.01, damping))
    assert effect_on(seen, duration=0.01).peak == pytest.approx(peak_ratio(cycles, damping) - 1.0, abs=3e-4)


@pytest.mark.parametrize("samples", [4, 10, 20, 50])
def test_sampling_hides_as_much_as_in_closed_form(samples):
    effect = effect_of_sampling(read_strike(STRIKE), rate=samples / 0.01, duration=0.01)
    assert effect.peak == pytest.approx(worst_under_read(samples), abs=2e-6)


@pytest.mark.parametrize(("samples", "least", "most"), [(10, 0.99176, 1.00412), (20, 0.99794, 1.00103)])
def test_sampled_impulse_stays_within_closed_form(samples, least, most):
    # derived (signal table of sampled half-sines): trapezoid over true impulse, least and greatest
    effect = effect_of_sampling(read_strike(STRIKE), rate=samples / 0.01, duration=0.01)
    assert effect.impulse == pytest.approx(max(1.0 - least, most - 1.0), abs=2e-5)


def test_a_slow_filter_lowers_and_widens_but_keeps_the_impulse():
    effect = effect_on(read_strike(STRIKE, low_pass=100.0), duration=0.01)
    assert effect.peak < 0.0 < effect.rise
    assert abs(effect.impulse) < 0.03


def test_noise_does_what_simulated_noise_does():
    generator = np.random.default_rng(4)
    seen, rate, noise = read_strike(STRIKE), 20_000.0, 20.0
    told = effect_of_noise(seen, noise, rate=rate, duration=0.01)
    time = np.arange(200) / rate
    pulse = force_of_strike(STRIKE, time)
    impulses = [float(np.sum(pulse + generator.normal(0.0, noise, 200)) / rate) for _ in range(2000)]
    assert told.impulse == pytest.approx(np.std(impulses) / np.mean(impulses), rel=0.06)
    assert told.peak == pytest.approx(0.01)


@settings(max_examples=30)
@given(st.floats(0.5, 500.0), st.floats(1.0, 50.0), st.floats(0.1, 1.9))
def test_shares_depend_on_neither_force_nor_time(peak, duration, share):
    first = read_strike(STRIKE, cell=(800.0, 0.05), ends_at=2000.0 * share)
    strike = expected_strike(f"{peak} kN", f"{duration} ms")
    other = read_strike(strike, cell=(8000.0 / duration, 0.05), ends_at=1000.0 * peak * share)
    one, two = effect_on(first, duration=0.01), effect_on(other, duration=strike.duration)
    assert two.peak == pytest.approx(one.peak, abs=1e-6)
    assert two.impulse == pytest.approx(one.impulse, abs=1e-3)


def limit(checked, name):
    return next(one for one in checked.limits if one.name == name)


def test_a_range_that_ends_too_low_cuts_the_top_off():
    checked = check_rig(rig(("gain = 200", "gain = 1500")), STRIKE)
    # derived: 5 V over 2 mV/V x 5 V x 1500 / 5 kN end at 1666.7 N of 2000 N
    assert limit(checked, "converter range").peak_error == pytest.approx(1666.67 / 2000.0 - 1.0, abs=1e-4)
    assert limit(checked, "converter range").verdict == "not met"
    assert checked.together.peak == pytest.approx(1666.67 / 2000.0 - 1.0, abs=1e-3)


def test_noise_comes_from_the_file_or_from_a_recording():
    assert limit(check_rig(rig(), STRIKE), "noise").effect is None
    stated = check_rig(rig(("bits = 16", 'bits = 16\nnoise = "4 mV"')), STRIKE)
    # derived: 4 mV over 0.4 mV/N are 10 N, 0.5 % of 2 kN
    assert limit(stated, "noise").peak_error == pytest.approx(0.005)
    measured = check_rig(rig(), STRIKE, noise=0.08)
    assert limit(measured, "noise").verdict == "not met"
    assert limit(measured, "noise").remedy


def test_how_quiet_a_chain_is_does_not_make_it_another():
    assert rig().identity == rig(("bits = 16", 'bits = 16\nnoise = "4 mV"')).identity


def test_a_quiet_recording_gives_its_scatter_whatever_its_drift():
    generator = np.random.default_rng(1)
    samples = 5.0 + 0.001 * np.arange(20_000) + generator.normal(0.0, 0.02, 20_000)
    assert quiet_noise(samples) == pytest.approx(0.02, rel=0.03)
    samples[5000:5200] += 3.0
    with pytest.raises(UnmeasurableError) as caught:
        quiet_noise(samples)
    assert caught.value.code == "not-quiet"
    with pytest.raises(UnmeasurableError):
        quiet_noise(np.zeros(10))


@pytest.mark.parametrize(
    ("peak", "duration", "rise"), [("1 kN", "10 ms", "9 ms"), ("0 N", "10 ms", None), ("1 kN", "0 ms", None)]
)
def test_a_strike_that_cannot_be(peak, duration, rise):
    with pytest.raises(WrongUseError):
        expected_strike(peak, duration, rise)
