"""The figures of a strike hold the truth within their stated intervals, and carry their budget."""

import re

import numpy as np
import pytest

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import StrikingMass, contact_force, half_sine, haversine, skewed, truth_of
from tameshi.force import FIGURES, Settings, strikes_as_dict, strikes_to_record
from tameshi.quantity import Missing, Quantity, from_record
from tests.force.scenes import codes, post, reduced, reduced_newtons, volts
from tests.known import known

COMPARED = ("peak_force", "impulse", "impulse_to_peak", "contact_duration", "rise_time", "time_to_peak")
PULSES = {
    "half-sine": half_sine(2000.0, 0.010, 0.3),
    "haversine": haversine(900.0, 0.020, 0.3),
    "skewed": skewed(1500.0, 0.016, 0.3),
    "soft mass": contact_force(StrikingMass(mass=2.0, speed=6.0, stiffness=4e5), 0.3),
    "hard mass": contact_force(StrikingMass(mass=0.8, speed=7.0, stiffness=2e6, loss=0.03), 0.3),
}


@pytest.mark.parametrize("name", list(PULSES))
@pytest.mark.parametrize("natural", [None, 600.0, 2500.0])
@pytest.mark.parametrize("hum", [0.0, 15.0])
def test_intervals_hold_the_truth(name, natural, hum):
    rig = post(20_000.0, natural)
    samples = volts(
        [PULSES[name]], rig=rig, surroundings=Surroundings(noise=2.0, hum=hum, drift=10.0), seed=3
    )
    (strike,) = reduced(samples, rig).strikes
    true = truth_of(PULSES[name], 0.295, 0.42)
    # 95 % intervals on a fixed seed: a fifth of their width of room keeps the test off the edge
    for figure in COMPARED:
        found = known(strike.figure(figure))
        room = 0.2 * (found.high - found.low)
        assert found.low - room < getattr(true, figure) < found.high + room, figure
    assert strike.onset == pytest.approx(true.onset, abs=1.5e-4)


def test_undoing_the_cell_brings_the_peak_back():
    rig = post(20_000.0, 400.0, damping=0.01)
    pulse = half_sine(2000.0, 0.010, 0.3)
    (strike,) = reduced(volts([pulse], rig=rig), rig).strikes
    assert known(strike.peak_force).value == pytest.approx(2000.0, rel=0.01)
    (flag,) = [flag for flag in strike.flags if flag.code == "dynamics-corrected"]
    assert "undoing its response gives" in flag.message
    untouched = reduced(volts([pulse], rig=rig), rig, settings=Settings(correct_dynamics=False)).strikes[0]
    assert known(untouched.peak_force).value > 2100.0
    assert "ringing" in codes(untouched.flags)


def test_a_pulse_too_short_for_the_cell_is_refused():
    rig = post(20_000.0, 60.0)
    (strike,) = reduced(volts([half_sine(2000.0, 0.008, 0.3)], rig=rig), rig).strikes
    assert isinstance(strike.peak_force, Missing)
    assert "natural frequency of 60 Hz is too low" in strike.peak_force.why


def test_every_figure_has_a_budget_that_adds_up():
    (strike,) = reduced(volts([half_sine(2000.0, 0.010, 0.3)])).strikes
    for name in FIGURES:
        found = strike.figure(name)
        assert isinstance(found, Quantity)
        assert np.hypot.reduce(list(found.budget.values())) == pytest.approx(found.u)
        assert found.low < found.value < found.high
    assert {"rated output", "gain", "mounting", "noise", "baseline", "sampling"} <= set(
        known(strike.peak_force).budget
    )


def test_mean_force_is_impulse_over_duration():
    (strike,) = reduced(volts([half_sine(2000.0, 0.010, 0.3)])).strikes
    expected = known(strike.impulse).value / known(strike.contact_duration).value
    assert known(strike.mean_force).value == pytest.approx(expected)


def test_the_rig_cancels_in_the_ratio_of_two_strikes():
    pulses = [half_sine(2000.0, 0.010, 0.3), half_sine(1000.0, 0.010, 0.8)]
    one, other = (known(strike.peak_force) for strike in reduced(volts(pulses)).strikes)
    quotient = one / other
    alone = np.hypot(one.u / one.value, other.u / other.value)
    assert quotient.u / quotient.value < 0.3 * alone
    assert "gain" not in {line for line, part in quotient.budget.items() if part > 1e-6}


def test_a_channel_class_takes_the_tip_off_a_short_strike_and_leaves_its_impulse():
    samples = volts([half_sine(2000.0, 0.005, 0.3)], surroundings=Surroundings(noise=0.5))
    (plain,) = reduced(samples).strikes
    (filtered,) = reduced(samples, settings=Settings(channel_class=60)).strikes
    # derived: table of SAE J211
    assert known(filtered.peak_force).value == pytest.approx(0.7025 * 2000.0, rel=0.01)
    assert known(filtered.impulse).value == pytest.approx(known(plain.impulse).value, rel=0.01)


def test_stored_strikes_come_back_with_their_correlation():
    pulses = [half_sine(2000.0, 0.010, 0.3), half_sine(1000.0, 0.010, 0.8)]
    stored = strikes_to_record(reduced(volts(pulses)))
    one, other = (known(from_record(strike["peak_force"])) for strike in stored["strikes"])
    assert (one / other).u / 2.0 < 0.005
    assert stored["settings"]["joined_gap"] == 0.010


def test_machine_readable_form_has_what_the_contract_lists():
    found = strikes_as_dict(reduced(volts([half_sine(2000.0, 0.010, 0.3)])))
    assert found["schema"] == "tameshi.strikes/1"
    assert set(found["recording"]) >= {"file", "sha256", "rate", "samples", "duration", "channel"}
    (strike,) = found["strikes"]
    assert set(strike) >= {"index", "onset", "end", "flags", *FIGURES}
    for name in FIGURES:
        assert set(strike[name]) >= {"value", "unit", "u", "low", "high", "dof", "budget"}
    assert strike["loading_rate"]["span"] > 0.0
    assert all(set(flag) == {"code", "message", "strike"} for flag in found["flags"] + strike["flags"])


@pytest.mark.parametrize("rate", [2_000.0, 20_000.0])
def test_a_file_in_newtons_needs_no_rig(rate):
    rng = np.random.default_rng(8)
    time = np.arange(round(1.0 * rate)) / rate
    samples = half_sine(1200.0, 0.012, 0.4)(time) + rng.normal(0.0, 1.0, len(time))
    reduction = reduced_newtons(samples, rate)
    assert reduction.conversion == "newtons in the file"
    assert "uncalibrated" in codes(reduction.flags)
    assert known(reduction.strikes[0].peak_force).value == pytest.approx(1200.0, rel=0.01)


@pytest.mark.parametrize(
    ("channel_class", "milliseconds", "kept"),
    [(60, 2.0, 0.336295), (60, 5.0, 0.702500), (60, 10.0, 0.950717), (180, 2.0, 0.782499)],
)
def test_what_a_channel_class_takes_off_a_peak_is_told_and_in_its_interval(channel_class, milliseconds, kept):
    """Shares kept of a half-sine's peak: derived from the class's response (SAE J211-1, Appendix C)."""
    samples = volts([half_sine(2000.0, milliseconds / 1000.0, 0.4)])
    (strike,) = reduced(samples, settings=Settings(channel_class=channel_class)).strikes
    peak = known(strike.peak_force)
    assert peak.value == pytest.approx(kept * 2000.0, rel=0.01)
    assert peak.low < 2000.0 < peak.high
    assert (
        known(strike.contact_duration).low < 0.968156e-3 * milliseconds < known(strike.contact_duration).high
    )
    told = next(flag for flag in strike.flags if flag.code == "class-attenuates")
    percent = re.search(r"([+-][\d.]+)\s?%", told.message)
    assert percent is not None
    assert float(percent[1]) == pytest.approx(100.0 * (1.0 / kept - 1.0), rel=0.03)
    assert "filter" in peak.budget


def test_a_class_that_takes_nothing_off_is_not_flagged():
    samples = volts([half_sine(2000.0, 0.010, 0.4)])
    (strike,) = reduced(samples, settings=Settings(channel_class=1000)).strikes
    assert "class-attenuates" not in codes(strike.flags)


def test_a_clipped_top_is_seen_behind_a_channel_class():
    rig = post(span=(-2.0, 2.0), capacity=5000.0)
    samples = volts([half_sine(6000.0, 0.012, 0.4)], rig=rig)
    (strike,) = reduced(samples, rig, settings=Settings(channel_class=180)).strikes
    assert "clipped" in codes(strike.flags)
    assert isinstance(strike.peak_force, Missing)
