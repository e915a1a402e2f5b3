"""What sampling leaves in doubt is small where samples are many, and stated where they are few."""

import numpy as np
import pytest

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import half_sine, haversine, skewed, together, truth_of
from tameshi.force import FIGURES
from tests.force.scenes import post, reduced, reduced_newtons, volts
from tests.known import known

SHAPES = {"half-sine": half_sine, "haversine": haversine, "skewed": skewed}
TIMES = ("contact_duration", "rise_time", "time_to_peak")


def clean(pulse, rate, shift):
    """Return the strike of a noiseless recording, sampled at another phase for each shift."""
    time = np.arange(round(0.4 * rate)) / rate + shift / rate
    (strike,) = reduced_newtons(pulse(time), rate).strikes
    return strike


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("shift", [0.0, 0.3, 0.7])
def test_many_samples_leave_next_to_no_doubt(shape, shift):
    pulse = SHAPES[shape](2000.0, 0.010, 0.2)
    strike, true = clean(pulse, 20_000.0, shift), truth_of(pulse, 0.19, 0.22)
    for name in TIMES:
        found = known(strike.figure(name))
        assert found.value == pytest.approx(getattr(true, name), rel=2e-3, abs=5e-6), name
        assert found.budget["sampling"] < 0.004 * found.value, name
    assert known(strike.impulse).value == pytest.approx(true.impulse, rel=3e-4)


@pytest.mark.parametrize("shape", SHAPES)
@pytest.mark.parametrize("samples", [10, 16, 30])
def test_few_samples_are_covered_by_the_interval(shape, samples):
    pulse = SHAPES[shape](2000.0, 0.010, 0.2)
    true = truth_of(pulse, 0.19, 0.22)
    rng = np.random.default_rng(samples)
    held = [
        found.low <= getattr(true, name) <= found.high
        for shift in rng.random(25)
        for name, found in (
            (name, known(clean(pulse, samples / 0.010, shift).figure(name)))
            for name in ("peak_force", "impulse", "contact_duration", "rise_time")
        )
    ]
    assert np.mean(held) > 0.85  # the phase alone decides, so the share is no even 95 %


def test_ringing_at_the_rate_itself_is_in_doubt():
    # sampled at its own frequency a ringing stands still: it reads as a level and not as a swing
    rig = post(5_000.0, 5_000.0, damping=0.01)
    pulses = [half_sine(2500.0, 0.010, 0.3), skewed(2500.0, 0.008, 0.6)]
    quiet = Surroundings(noise=0.5)
    strikes = reduced(volts(pulses, rig=rig, surroundings=quiet), rig).strikes
    elsewhere = post(5_000.0, 40_000.0, damping=0.01)
    plain = reduced(volts(pulses, rig=elsewhere, surroundings=quiet), elsewhere).strikes
    for strike, other, pulse in zip(strikes, plain, pulses, strict=True):
        true = truth_of(pulse, 0.29, 0.63)
        found = known(strike.impulse)
        assert abs(found.value - true.impulse) < 3.0 * found.u
        assert found.budget["dynamics"] > 3.0 * known(other.impulse).budget["dynamics"]


def test_a_dip_above_the_onset_level_does_not_end_a_double_contact():
    rate = 1_000.0
    pulse = together([half_sine(1000.0, 0.0095, 0.2), half_sine(700.0, 0.0095, 0.2100)])
    time = np.arange(400) / rate
    floor = np.where((time > 0.2) & (time < 0.2195), 0.052 * 1000.0, 0.0)
    (strike,) = reduced_newtons(np.maximum(pulse(time), floor), rate).strikes
    assert "double-contact" in {flag.code for flag in strike.flags}
    assert known(strike.contact_duration).value == pytest.approx(0.0193, abs=6e-4)


def test_every_figure_names_what_sampling_does_to_it():
    strike = clean(half_sine(2000.0, 0.010, 0.2), 5_000.0, 0.4)
    assert all("sampling" in known(strike.figure(name)).budget for name in FIGURES if name != "loading_rate")
