"""What spoils a recording is noticed, said in words, and takes the figures it spoils with it."""

import numpy as np
import pytest
from scipy.signal import butter, lfilter

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import half_sine, haversine
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.force import Trace
from tameshi.quantity import Missing, Quantity
from tests.force.scenes import NOISE, codes, post, reduced, reduced_newtons, volts
from tests.known import known

STRIKE = half_sine(2000.0, 0.010, 0.3)


def flags_of(samples, rig=None):
    (strike,) = reduced(samples, rig).strikes
    return strike, codes(strike.flags)


def test_a_top_cut_off_by_the_converter():
    rig = post(span=(-1.0, 1.0))
    strike, flags = flags_of(volts([half_sine(6000.0, 0.010, 0.3)], rig=rig), rig)
    assert "clipped" in flags
    assert isinstance(strike.peak_force, Missing)
    assert isinstance(strike.peak_force, Missing)
    assert strike.peak_force.at_least is not None
    assert 0.975 < strike.peak_force.at_least * rig.rated_sensitivity < 1.0  # less the doubt of the scale
    assert isinstance(strike.impulse, Missing)
    assert isinstance(strike.contact_duration, Quantity)
    assert known(strike.contact_duration).low < 0.00968 < known(strike.contact_duration).high


@pytest.mark.parametrize("noise", [0.0, 3.0])
def test_a_top_cut_off_somewhere_unknown(noise):
    rate = 20_000.0
    time = np.arange(20_000) / rate
    signal = STRIKE(time) + np.random.default_rng(1).normal(0.0, noise, len(time)) if noise else STRIKE(time)
    (strike,) = reduced_newtons(np.minimum(signal, 1500.0), rate).strikes
    assert "clipped" in codes(strike.flags)
    assert isinstance(strike.peak_force, Missing)
    assert strike.peak_force.at_least is not None
    assert 0.97 * 1500.0 < strike.peak_force.at_least < 1500.0


@pytest.mark.parametrize("bits", [8, 10, 12, 16])
def test_a_coarse_converter_is_not_taken_for_clipping(bits):
    rig = post(bits=bits)
    _, flags = flags_of(
        volts([haversine(3000.0, 0.020, 0.3)], rig=rig, surroundings=Surroundings(noise=0.2)), rig
    )
    assert "clipped" not in flags


@pytest.mark.parametrize("corner", [0.5, 3.4, 10.0, 20.0])
def test_an_ac_coupled_input(corner):
    numerator, denominator = butter(1, corner / 10_000.0, "high")
    samples = lfilter(numerator, denominator, volts([STRIKE, haversine(900.0, 0.020, 0.8)]))
    reduction = reduced(samples)
    assert [codes(strike.flags) >= {"ac-coupled"} for strike in reduction.strikes] == [True, True]
    for strike, peak in zip(reduction.strikes, (2000.0, 900.0), strict=True):
        assert isinstance(strike.impulse, Missing)
        assert "AC-coupled" in strike.impulse.why
        assert known(strike.peak_force).value < peak < known(strike.peak_force).high


def test_a_chain_that_passes_constant_force_is_not_called_ac_coupled():
    for seed in range(5):
        reduction = reduced(volts([STRIKE, haversine(900.0, 0.020, 0.8)], seed=seed))
        assert not any("ac-coupled" in codes(strike.flags) for strike in reduction.strikes)


@pytest.mark.parametrize("part", [slice(round(0.304 * 20_000), None), slice(None, round(0.306 * 20_000))])
def test_a_strike_cut_by_an_end_of_the_recording(part):
    strike, flags = flags_of(volts([STRIKE])[part])
    assert "truncated" in flags
    assert isinstance(strike.contact_duration, Missing)
    assert strike.impulse.at_least < 2000.0 * 0.010 * 2.0 / np.pi


def test_samples_missing_in_a_strike():
    samples = volts([STRIKE])
    samples[6060:6090] = np.nan
    strike, flags = flags_of(samples)
    assert "gap" in flags
    assert isinstance(strike.peak_force, Missing)


def test_samples_missing_elsewhere_change_nothing():
    samples = volts([STRIKE])
    plain = known(reduced(samples).strikes[0].peak_force).value
    samples[10_000:11_000] = np.nan
    strike, flags = flags_of(samples)
    assert "gap" not in flags
    assert known(strike.peak_force).value == pytest.approx(plain, rel=1e-3)


def test_few_samples_in_the_contact():
    rig = post(1_500.0)
    strike, flags = flags_of(volts([STRIKE], rig=rig), rig)
    assert "undersampled" in flags
    assert known(strike.peak_force).low < 2000.0 < known(strike.peak_force).high


def test_a_weak_strike():
    _, flags = flags_of(volts([half_sine(30.0, 0.010, 0.3)]))
    assert "low-signal" in flags


def test_ringing_of_a_cell_nobody_told_of():
    recorded = volts([STRIKE], rig=post(natural=600.0, damping=0.02))
    strike, flags = flags_of(recorded)
    assert "ringing" in flags
    (flag,) = [flag for flag in strike.flags if flag.code == "ringing"]
    assert "about 6" in flag.message  # hundred hertz
    assert known(strike.peak_force).low < 2000.0 < known(strike.peak_force).high


def test_a_force_beyond_the_capacity():
    rig = post(span=(-20.0, 20.0))
    _, flags = flags_of(volts([half_sine(14_000.0, 0.010, 0.3)], rig=rig), rig)
    assert "beyond-calibration" in flags


def test_a_hand_left_on_the_plate():
    rest = lambda time: np.where(time > 0.31, 200.0, 0.0)  # noqa: E731
    strike, flags = flags_of(volts([STRIKE, rest]))
    assert "baseline-drift" in flags
    assert known(strike.peak_force).low < 2000.0 < known(strike.peak_force).high


def test_a_wandering_zero_is_told_of():
    reduction = reduced(volts([STRIKE], duration=8.0, surroundings=Surroundings(noise=1.0, drift=150.0)))
    assert "baseline-drift" in codes(reduction.flags)
    assert known(reduction.strikes[0].peak_force).value == pytest.approx(2000.0, rel=0.01)


def test_a_clean_strike_carries_no_flag():
    _, flags = flags_of(volts([STRIKE], surroundings=NOISE))
    assert flags == set()


@pytest.mark.parametrize(
    ("samples", "rate", "error", "code"),
    [
        ([1.0, 2.0], 1000.0, UnmeasurableError, "too-short"),
        ([float("nan")] * 20, 1000.0, UnmeasurableError, "no-numbers"),
        ([1.0] * 20, 0.0, WrongUseError, "wrong-rate"),
        ([1.0] * 20, float("nan"), WrongUseError, "wrong-rate"),
    ],
)
def test_a_trace_that_cannot_be(samples, rate, error, code):
    with pytest.raises(error) as caught:
        Trace(np.array(samples), rate, "N")
    assert caught.value.code == code


def test_a_constant_recording_holds_nothing():
    assert reduced_newtons(np.full(20_000, 0.3), 20_000.0).strikes == ()
