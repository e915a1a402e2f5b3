"""What happens round a real plate: leaning, bouncing, pushing, hum, AC coupling, clipping, files that cut."""

import math
from itertools import pairwise

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import lfilter

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import Force, Truth, half_sine, haversine, skewed, truth_of
from tameshi.errors import UnmeasurableError
from tameshi.force import Strike
from tameshi.quantity import Missing
from tests.force.scenes import codes, post, reduced, reduced_newtons, volts
from tests.known import known
from tests.rig.drops import GRAVITY, bouncing

FloatArray = NDArray[np.float64]
RATE = 20_000.0
FIGURES = ("peak_force", "impulse", "contact_duration", "rise_time")
STRIKE = half_sine(1500.0, 0.010, 0.5)
TRUE = truth_of(STRIKE, 0.49, 0.52)


def held(strike: Strike, true: Truth) -> dict[str, bool]:
    """Return which figures of a strike hold the truth in their intervals."""
    found = {name: known(strike.figure(name)) for name in FIGURES}
    return {name: one.low <= getattr(true, name) <= one.high for name, one in found.items()}


def always(load: float) -> Force:
    return lambda t: np.full(len(t), load)


def from_then_on(load: float) -> Force:
    return lambda t: np.where(t > 0.2, load, 0.0)


def slowly_on(load: float) -> Force:
    return lambda t: load * np.clip((t - 0.2) / 0.1, 0.0, 1.0)


def until_after(load: float) -> Force:
    return lambda t: np.where(t < 0.61, load, 0.0)


def fading(load: float) -> Force:
    return lambda t: load * np.clip((0.55 - t) / 0.1, 0.0, 1.0)


@pytest.mark.parametrize("load", [50.0, 100.0, 200.0])
@pytest.mark.parametrize("leaning", [always, from_then_on, slowly_on, until_after, fading])
def test_a_strike_on_top_of_a_push_is_measured_from_the_push(leaning, load):
    (strike,) = reduced(volts([STRIKE, leaning(load)])).strikes
    assert all(held(strike, TRUE).values())
    assert strike.onset == pytest.approx(TRUE.onset, abs=2e-4)


@pytest.mark.parametrize("load", [50.0, 100.0])
def test_a_push_that_ends_with_the_strike_is_told_and_widens_the_intervals(load):
    (strike,) = reduced(volts([STRIKE, lambda t: np.where(t < 0.505, load, 0.0)])).strikes
    assert "baseline-drift" in codes(strike.flags)
    assert all(held(strike, TRUE).values())


@pytest.mark.parametrize("restitution", [0.5, 0.7, 0.85])
@pytest.mark.parametrize("height", [0.05, 0.3, 1.0])
@pytest.mark.parametrize("natural", [None, 900.0])
def test_a_bouncing_mass_is_one_strike_a_bounce(restitution, height, natural):
    force, met = bouncing(2.0, height, restitution, count=5)
    rig = post(natural=natural)
    strikes = reduced(volts([force], duration=met[-1][1] + 0.5, rig=rig), rig).strikes
    assert len(strikes) == len(met)
    for strike, (begin, end, impulse) in zip(strikes, met, strict=True):
        true = truth_of(force, begin - 0.001, end + 0.001)
        assert strike.onset == pytest.approx(true.onset, abs=5e-4)
        assert known(strike.peak_force).low < true.peak_force < known(strike.peak_force).high
        assert known(strike.impulse).low < impulse < known(strike.impulse).high
    # the flight between two bounces tells how high the mass went
    flights = [later.onset - earlier.end for earlier, later in pairwise(strikes)]
    heights = [GRAVITY * flight**2 / 8.0 for flight in flights]
    expected = [height * restitution ** (2 * place) for place in range(1, len(met))]
    assert heights[:2] == pytest.approx(expected[:2], rel=0.03)


@pytest.mark.parametrize("length", [0.15, 0.5])
@pytest.mark.parametrize("shape", [half_sine, haversine, skewed])
def test_a_long_push_is_measured_like_a_short_one(shape, length):
    push = shape(500.0, length, 0.8)
    true = truth_of(push, 0.75, 0.85 + length)
    found = []
    for seed in range(12):
        (strike,) = reduced(volts([push], duration=length + 1.8, seed=seed)).strikes
        found += list(held(strike, true).values())
        assert known(strike.impulse).value == pytest.approx(true.impulse, rel=0.003)
        assert known(strike.contact_duration).value == pytest.approx(true.contact_duration, rel=0.005)
        assert known(strike.rise_time).value == pytest.approx(true.rise_time, rel=0.02)
    assert np.mean(found) >= 0.88


def test_a_push_of_two_seconds_that_is_held_is_measured_whole():
    held_push = lambda t: 500.0 * np.clip(np.minimum((t - 1.0) / 0.02, (3.0 - t) / 0.02), 0.0, 1.0)  # noqa: E731
    (strike,) = reduced(volts([held_push], duration=4.5)).strikes
    assert known(strike.peak_force).value == pytest.approx(500.0, rel=0.005)
    # derived: a trapezium of 2 s with edges of 20 ms
    assert known(strike.impulse).value == pytest.approx(500.0 * 1.98, rel=0.001)
    assert known(strike.contact_duration).value == pytest.approx(1.998, abs=0.001)


@pytest.mark.parametrize("at", [0.5005, 0.502, 0.505, 0.508, 0.5095])
@pytest.mark.parametrize("kept", ["rest", "beginning"])
def test_a_strike_cut_by_an_end_of_the_file_is_a_bound(at, kept):
    if (at, kept) == (0.5005, "beginning"):
        at = 0.501
    place = round(at * RATE)
    part = slice(place, None) if kept == "rest" else slice(None, place)
    (strike,) = reduced(volts([STRIKE])[part]).strikes
    assert "truncated" in codes(strike.flags)
    for name in FIGURES:
        assert isinstance(strike.figure(name), Missing)
    peak, impulse = strike.peak_force, strike.impulse
    assert isinstance(peak, Missing)
    assert isinstance(impulse, Missing)
    assert peak.at_least is not None
    assert impulse.at_least is not None
    assert 0.0 < peak.at_least < 1.005 * TRUE.peak_force  # a sample's noise is 0.2 % of it
    assert 0.0 < impulse.at_least < TRUE.impulse


def coupled(samples: FloatArray, constant: float) -> FloatArray:
    """Return samples behind a capacitor: one pole, time constant in s."""
    twice = 2.0 * RATE * constant
    passed: FloatArray = lfilter(
        [twice / (1.0 + twice), -twice / (1.0 + twice)], [1.0, (1.0 - twice) / (1.0 + twice)], samples
    )
    return passed


@pytest.mark.parametrize("constant", [0.05, 0.3])
@pytest.mark.parametrize("pulse", [half_sine(2000.0, 0.010, 0.5), haversine(900.0, 0.020, 0.5)])
def test_an_ac_coupled_recording_gives_no_impulse_and_a_peak_between_two_bounds(constant, pulse):
    true = truth_of(pulse, 0.49, 0.53)
    (strike,) = reduced(coupled(volts([pulse], duration=4.0), constant)).strikes
    assert "ac-coupled" in codes(strike.flags)
    for name in ("impulse", "impulse_to_peak", "mean_force"):
        missing = strike.figure(name)
        assert isinstance(missing, Missing)
        assert "AC-coupled" in missing.why
    assert known(strike.peak_force).low < true.peak_force < known(strike.peak_force).high
    assert known(strike.contact_duration).low < true.contact_duration < known(strike.contact_duration).high


def test_a_coupling_too_slow_to_see_does_no_harm():
    for pulse in (half_sine(2000.0, 0.010, 0.5), haversine(900.0, 0.020, 0.5)):
        (strike,) = reduced(coupled(volts([pulse], duration=4.0), 2.0)).strikes
        assert all(held(strike, truth_of(pulse, 0.49, 0.53)).values())


@pytest.mark.parametrize("noise", [0.5, 3.0, 15.0])
@pytest.mark.parametrize("behind", ["amplifier", "converter"])
def test_a_top_cut_off_is_at_least_what_was_seen(behind, noise):
    rig = post(span=(-1.0, 1.0)) if behind == "converter" else post()
    pulse = half_sine(5000.0, 0.010, 0.3)
    samples = volts([pulse], rig=rig, surroundings=Surroundings(noise=noise))
    end = 0.9 if behind == "amplifier" else 1.0
    (strike,) = reduced(np.minimum(samples, end), rig).strikes
    assert "clipped" in codes(strike.flags)
    peak, impulse = strike.peak_force, strike.impulse
    assert isinstance(peak, Missing)
    assert isinstance(impulse, Missing)
    assert peak.at_least is not None
    # less what ratings leave in doubt of the scale, 0.9 % standard uncertainty
    assert 0.975 * end / rig.rated_sensitivity < peak.at_least < end / rig.rated_sensitivity
    assert impulse.at_least is not None
    assert 0.0 < impulse.at_least < 5000.0 * 0.010 * 2.0 / math.pi
    assert known(strike.contact_duration).low < 0.968156 * 0.010 < known(strike.contact_duration).high


@pytest.mark.parametrize("rate", [10.0, 80.0])
def test_a_weigh_scale_is_refused_whatever_it_saw(rate):
    time = np.arange(round(60.0 * rate)) / rate
    with pytest.raises(UnmeasurableError) as caught:
        reduced_newtons(half_sine(2000.0, 0.2, 20.0)(time), rate)
    assert caught.value.code == "recording-too-slow"
    assert f"{rate:g} samples a second" in caught.value.message
    assert "between two samples" in caught.value.message
    assert caught.value.hint


def garage(mains: float, hum: float, drift: float, length: int, seed: int) -> FloatArray:
    """Return mains hum with its harmonics, as a rectifier leaves them, and a slow drift. [N]"""
    time = np.arange(length) / RATE
    phase = np.random.default_rng(seed).uniform(0.0, 2.0 * math.pi, 5)
    shares = {1: 1.0, 2: 0.3, 3: 0.4, 5: 0.1}
    total = drift * np.sin(2.0 * math.pi * 0.3 * time + phase[4])
    for (order, share), turn in zip(shares.items(), phase, strict=False):
        total += hum * share * np.sin(2.0 * math.pi * mains * order * time + turn)
    return np.asarray(total)


@pytest.mark.parametrize("mains", [50.0, 60.0])
@pytest.mark.parametrize("hum", [5.0, 20.0, 60.0])
@pytest.mark.parametrize("pulse", [half_sine(1500.0, 0.010, 0.6), haversine(300.0, 0.020, 0.6)])
def test_hum_and_drift_are_taken_off_without_touching_the_strike(pulse, hum, mains):
    names = (*FIGURES, "time_to_peak", "loading_rate")
    within = []
    for seed in range(6):
        samples = volts([pulse], duration=1.6, seed=seed)
        (plain,) = reduced(samples).strikes
        added = garage(mains, hum, 60.0, len(samples), seed) * post().rated_sensitivity
        (strike,) = reduced(samples + added).strikes
        for name in names:
            found = known(strike.figure(name))
            within.append(found.low <= known(plain.figure(name)).value <= found.high)
        assert known(strike.impulse).value == pytest.approx(known(plain.impulse).value, rel=0.01)
    assert np.mean(within) >= 0.95


def test_hum_that_the_rate_shows_as_another_frequency_is_left_alone():
    # 250 Hz, the fifth of 50 Hz, stands at half the rate here
    rate = 500.0
    time = np.arange(2000) / rate
    samples = 800.0 * np.clip(1.0 - np.abs(time - 2.0) / 0.03, 0.0, 1.0) + 10.0 * np.sin(
        100.0 * math.pi * time + 0.4
    )
    noise = np.random.default_rng(3).normal(0.0, 1.0, len(time))
    (strike,) = reduced_newtons(samples + noise, rate).strikes
    assert known(strike.impulse).value == pytest.approx(24.0, rel=0.01)


def test_a_top_cut_off_before_noise_was_added_is_seen():
    rig = post()
    cut = np.minimum(volts([half_sine(6000.0, 0.010, 0.3)], surroundings=Surroundings()), 0.9)
    noise = np.random.default_rng(1).normal(0.0, 3.0 * rig.rated_sensitivity, len(cut))
    (strike,) = reduced(cut + noise).strikes
    assert "clipped" in codes(strike.flags)
    assert isinstance(strike.peak_force, Missing)
    assert strike.peak_force.at_least is not None
    assert 0.95 * 1800.0 < strike.peak_force.at_least < 1800.0


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("shape", [half_sine, haversine, skewed])
def test_round_tops_in_noise_are_not_called_cut_off(shape, seed):
    found = reduced(volts([shape(3000.0, 0.012, 0.4)], surroundings=Surroundings(noise=4.0), seed=seed))
    assert all("clipped" not in codes(strike.flags) for strike in found.strikes)


def test_the_peak_of_a_flat_push_is_not_its_luckiest_sample():
    def push(t: FloatArray) -> FloatArray:
        return np.asarray(500.0 * np.clip(np.minimum((t - 1.0) / 0.02, (1.5 - t) / 0.02), 0.0, 1.0))

    (strike,) = reduced(volts([push], duration=3.0)).strikes
    assert known(strike.peak_force).value == pytest.approx(500.0, abs=3.0)


def test_a_bound_is_what_was_certainly_reached():
    (strike,) = reduced(volts([half_sine(1500.0, 0.010, 0.5)])[10_010:]).strikes
    assert isinstance(strike.peak_force, Missing)
    assert strike.peak_force.at_least is not None
    assert 0.9 * 1500.0 < strike.peak_force.at_least <= 1500.0


def test_a_strike_that_begins_at_the_very_end_is_no_spike():
    (strike,) = reduced(volts([half_sine(1500.0, 0.010, 0.5)])[:10_010]).strikes
    assert "truncated" in codes(strike.flags)


def test_a_slow_swell_is_told_where_no_strike_is_found():
    found = reduced(volts([half_sine(500.0, 2.0, 2.0)], duration=7.0))
    assert found.strikes or "baseline-drift" in codes(found.flags)
