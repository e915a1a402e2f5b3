import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.demo.chain import second_order
from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import coverage_factor
from tameshi.rig import measure_taps
from tests.rig.taps import tap_recording

RATE = 20_000.0


def codes(found):
    return {flag.code for flag in found.flags}


def train(*modes, noise=0.002, taps=6):
    """Return taps that excite several modes at once: (frequency, damping, share)."""
    force = np.zeros(240_000)
    for tap in range(taps):
        start = int((0.05 + 0.17 * tap + 0.003 * tap * tap) * 200_000)
        force[start : start + 40] = np.sin(math.pi * np.arange(40) / 40)
    parts = []
    for frequency, damping, share in modes:
        reading = second_order(force, 200_000.0, frequency, damping)[::10]
        parts.append(share * reading / np.abs(reading).max())
    return np.sum(parts, axis=0) + np.random.default_rng(1).normal(0.0, noise, 24_000)


def test_a_clean_cell_is_found_and_carries_no_flag():
    found = measure_taps(tap_recording(1000.0, 0.02, RATE, seed=3), RATE)
    assert found.natural_frequency.value == pytest.approx(1000.0, rel=1e-4)
    assert found.damping_ratio.value == pytest.approx(0.02, rel=3e-3)
    assert len(found.decays) == 5
    assert not found.flags
    assert set(found.natural_frequency.budget) <= {"time base", "noise", "scatter of taps"}


def test_95_of_100_intervals_hold_the_truth():
    """300 taps and more of known frequency (100 Hz to 5 kHz), damping (0.005 to 0.2), noise and rate."""
    generator = np.random.default_rng(11)
    held = []
    for seed in range(64):
        natural = float(np.exp(generator.uniform(np.log(100.0), np.log(5000.0))))
        damping = float(np.exp(generator.uniform(np.log(0.005), np.log(0.2))))
        rate = natural * float(np.exp(generator.uniform(np.log(2.6), np.log(10.0))))
        noise = float(np.exp(generator.uniform(np.log(0.0005), np.log(0.01))))
        contact = float(generator.uniform(0.25, 0.8)) / natural
        samples = tap_recording(natural, damping, rate, noise=noise, seed=seed, taps=6, contact=contact)
        try:
            found = measure_taps(samples, rate)
        except UnmeasurableError:
            continue
        for one in found.decays:
            k = coverage_factor(one.dof)
            held.append(
                (
                    abs(one.natural_frequency - natural) <= k * one.u_frequency,
                    abs(one.damping_ratio - damping) <= k * one.u_damping,
                )
            )
    assert len(held) >= 300
    frequency, ratio = np.mean(held, axis=0)
    assert 0.93 <= frequency <= 0.98
    assert 0.93 <= ratio <= 0.98


def test_the_scale_of_the_recording_plays_no_part():
    samples = tap_recording(800.0, 0.03, RATE, seed=5)
    one, other = measure_taps(samples, RATE), measure_taps(-2500.0 * samples + 40.0, RATE)
    assert other.natural_frequency.value == pytest.approx(one.natural_frequency.value, rel=1e-6)
    assert other.damping_ratio.value == pytest.approx(one.damping_ratio.value, rel=1e-4)


@settings(max_examples=8, deadline=None)
@given(st.floats(300.0, 3000.0), st.floats(0.01, 0.1))
def test_whatever_the_cell_it_is_found(natural, damping):
    found = measure_taps(tap_recording(natural, damping, RATE, taps=3, seed=2), RATE)
    assert found.natural_frequency.value == pytest.approx(natural, rel=0.01)
    assert found.damping_ratio.value == pytest.approx(damping, rel=0.15)


def test_decrement_and_spectrum_agree_with_the_fit():
    found = measure_taps(tap_recording(1000.0, 0.02, RATE, seed=3), RATE)
    for one in found.decays:
        assert one.decrement == pytest.approx(0.02, rel=0.05)
        assert one.spectrum == pytest.approx(1000.0, rel=0.01)


@pytest.mark.parametrize("beside", [1730.0, 1040.0])
def test_a_second_mode_is_told_and_does_not_pull_the_first(beside):
    found = measure_taps(train((1000.0, 0.02, 1.0), (beside, 0.015, 0.3)), RATE)
    assert "several-modes" in codes(found)
    assert found.natural_frequency.value == pytest.approx(1000.0, rel=1e-3)
    assert found.damping_ratio.value == pytest.approx(0.02, rel=0.02)


def test_a_cell_whose_frequency_depends_on_strength_rattles():
    time = np.arange(round(0.2 * RATE)) / RATE
    fading = 2.0 * math.pi * 800.0 * 0.02
    # a swing of one lowers the frequency by 2 %, in proportion to the square of the swing
    phase = 2.0 * math.pi * 800.0 * (time - 0.02 * (1.0 - np.exp(-2.0 * fading * time)) / (2.0 * fading))
    ringing = np.exp(-fading * time) * np.cos(phase)
    samples = np.concatenate([np.zeros(2000), *(ringing for _ in range(4))])
    found = measure_taps(samples + np.random.default_rng(1).normal(0.0, 0.001, len(samples)), RATE)
    assert "rattling" in codes(found)
    assert "dependence on strength" in found.natural_frequency.budget


def test_flags_of_a_poor_recording():
    assert "few-taps" in codes(measure_taps(tap_recording(1000.0, 0.02, RATE, taps=1), RATE))
    assert "few-cycles" in codes(measure_taps(tap_recording(1000.0, 0.2, RATE, noise=0.02), RATE))
    assert "near-half-rate" in codes(measure_taps(tap_recording(1000.0, 0.02, 2300.0), 2300.0))
    assert "low-signal" in codes(measure_taps(tap_recording(1000.0, 0.01, RATE, noise=0.06), RATE))


def noise_alone():
    return np.random.default_rng(2).normal(0.0, 1.0, 20_000)


TIME = np.arange(20_000) / RATE


@pytest.mark.parametrize(
    ("samples", "code"),
    [
        (noise_alone(), "no-taps"),
        (np.zeros(5000), "no-taps"),
        (np.exp(-(((TIME - 0.5) / 0.003) ** 2)) + 0.001 * noise_alone(), "no-taps"),
        (np.array([1.0, 2.0]), "too-short"),
        (np.full(1000, np.nan), "too-short"),
    ],
)
def test_a_recording_without_taps_is_refused(samples, code):
    with pytest.raises(UnmeasurableError) as caught:
        measure_taps(samples, RATE)
    assert caught.value.code == code


def test_a_rate_that_cannot_be_is_refused():
    with pytest.raises(WrongUseError):
        measure_taps(np.zeros(100), 0.0)


def test_a_gap_is_bridged():
    samples = tap_recording(1000.0, 0.02, RATE, seed=3)
    samples[100:110] = np.nan
    assert measure_taps(samples, RATE).natural_frequency.value == pytest.approx(1000.0, rel=1e-3)
