"""Strikes are found at any level clear of the noise, none are invented, fast combinations stay apart."""

from contextlib import suppress

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import half_sine, haversine
from tameshi.errors import UnmeasurableError
from tests.force.scenes import codes, post, reduced, reduced_newtons, volts
from tests.known import known


@pytest.mark.parametrize("seed", range(6))
@pytest.mark.parametrize(
    "surroundings",
    [
        Surroundings(noise=2.0),
        Surroundings(noise=0.5, hum=25.0, hum_frequency=50.0),
        Surroundings(noise=0.5, hum=25.0, hum_frequency=60.0),
        Surroundings(noise=1.0, drift=120.0, offset=300.0),
        Surroundings(noise=4.0, hum=10.0, drift=60.0, offset=-200.0),
        Surroundings(),
    ],
)
def test_nothing_is_found_in_an_empty_recording(surroundings, seed):
    reduction = reduced(volts([], duration=3.0, surroundings=surroundings, seed=seed))
    assert reduction.strikes == ()
    assert "no-strike" in codes(reduction.flags)


@pytest.mark.parametrize("rate", [1_000.0, 5_000.0, 50_000.0])
@pytest.mark.parametrize("noise", [1.0, 8.0])
@pytest.mark.parametrize("sigmas", [9.0, 30.0, 400.0])
def test_a_strike_clear_of_the_noise_is_found(rate, noise, sigmas):
    rig = post(rate)
    pulse = haversine(sigmas * noise, 0.014, 0.5)
    reduction = reduced(volts([pulse], rig=rig, surroundings=Surroundings(noise=noise, drift=20.0)), rig)
    assert len(reduction.strikes) == 1
    assert reduction.strikes[0].onset == pytest.approx(0.501, abs=0.004)


@pytest.mark.parametrize("gap", [0.020, 0.030, 0.060, 0.150])
def test_fast_combinations_are_kept_apart(gap):
    pulses = [half_sine(800.0 + 150.0 * index, 0.012, 0.3 + index * (0.012 + gap)) for index in range(4)]
    found = reduced(volts(pulses)).strikes
    assert [strike.index for strike in found] == [1, 2, 3, 4]
    peaks = [known(strike.peak_force).value for strike in found]
    assert peaks == pytest.approx([800, 950, 1100, 1250], rel=0.01)


def test_a_small_strike_next_to_a_great_one_is_found():
    found = reduced(volts([half_sine(5000.0, 0.010, 0.3), half_sine(60.0, 0.012, 0.4)])).strikes
    assert [known(strike.peak_force).value for strike in found] == pytest.approx([5000, 60], rel=0.03)


def test_two_contacts_of_one_strike_are_one_strike():
    (strike,) = reduced(volts([half_sine(800.0, 0.012, 0.3), half_sine(500.0, 0.012, 0.316)])).strikes
    assert codes(strike.flags) == {"double-contact"}
    assert known(strike.contact_duration).value == pytest.approx(0.0274, abs=3e-4)
    assert known(strike.impulse).value == pytest.approx((800 + 500) * 0.012 * 2 / np.pi, rel=0.005)


@pytest.mark.parametrize("duration", [0.15, 0.3, 0.8])
def test_a_long_push_is_measured_whole(duration):
    (strike,) = reduced(volts([half_sine(500.0, duration, 0.8)], duration=3.0)).strikes
    assert known(strike.peak_force).value == pytest.approx(500.0, rel=0.01)
    assert known(strike.impulse).value == pytest.approx(500.0 * duration * 2 / np.pi, rel=0.01)


def test_a_recording_hardly_longer_than_its_strike_is_measured():
    (strike,) = reduced(volts([half_sine(2000.0, 0.010, 0.004)], duration=0.018)).strikes
    assert known(strike.peak_force).value == pytest.approx(2000.0, rel=0.01)


def test_a_cell_wired_the_other_way_round_is_noticed():
    reduction = reduced(-volts([half_sine(2000.0, 0.010, 0.3)]))
    assert "inverted" in codes(reduction.flags)
    assert known(reduction.strikes[0].peak_force).value == pytest.approx(2000.0, rel=0.01)


def test_interference_is_no_strike():
    samples = volts([half_sine(2000.0, 0.010, 0.3)])
    samples[[3000, 9000, 15000]] += 3.0
    reduction = reduced(samples)
    assert len(reduction.strikes) == 1
    assert "spikes" in codes(reduction.flags)


@pytest.mark.parametrize("rate", [10.0, 80.0, 199.0])
def test_a_weigh_scale_rate_is_refused_with_the_reason(rate):
    with pytest.raises(UnmeasurableError) as caught:
        reduced_newtons(np.random.default_rng(0).normal(0.0, 1.0, 1000), rate)
    assert caught.value.code == "recording-too-slow"
    assert f"{rate:g} samples a second" in caught.value.message


def test_a_contact_of_too_few_samples_is_refused():
    rig = post(300.0)
    with pytest.raises(UnmeasurableError) as caught:
        reduced(volts([half_sine(2000.0, 0.008, 0.5)], rig=rig, duration=2.0), rig)
    assert caught.value.code == "recording-too-slow"


@settings(max_examples=30, deadline=None)
@given(st.floats(-500.0, 500.0), st.sampled_from([1e-3, 1.0, 1e3]))
def test_offset_and_scale_change_nothing_else(offset, scale):
    rng = np.random.default_rng(2)
    time = np.arange(8000) / 20_000.0
    samples = rng.normal(0.0, 2.0, 8000) + np.where((time > 0.2) & (time < 0.21), 900.0, 0.0)
    plain = reduced_newtons(samples, 20_000.0).strikes
    moved = reduced_newtons(scale * (samples + offset), 20_000.0).strikes
    assert len(plain) == len(moved) == 1
    assert moved[0].onset == pytest.approx(plain[0].onset, abs=1e-6)
    expected = scale * known(plain[0].peak_force).value
    assert known(moved[0].peak_force).value == pytest.approx(expected, rel=1e-6)


@settings(max_examples=60, deadline=None)
@given(
    st.lists(
        st.one_of(st.floats(-1e6, 1e6), st.just(float("nan")), st.just(float("inf"))),
        min_size=8,
        max_size=400,
    )
)
def test_no_samples_whatever_break_the_reduction(samples):
    values = np.array(samples)
    if not np.isfinite(values).any():
        return
    with suppress(UnmeasurableError):
        assert all(np.isfinite(strike.onset) for strike in reduced_newtons(values, 5_000.0).strikes)


def test_weak_strike_on_a_ringing_cell_is_found_though_the_inverse_lifts_the_noise():
    rig = post(rate=2000.0, natural=250.0, damping=0.01)
    surroundings = Surroundings(noise=8.0, hum=20.0, hum_frequency=60.0)
    for seed in range(6):
        samples = volts([half_sine(95.0, 0.003, 0.4)], rig=rig, surroundings=surroundings, seed=seed)
        assert [strike.onset for strike in reduced(samples, rig).strikes] == pytest.approx([0.4], abs=0.002)
