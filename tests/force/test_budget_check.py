"""Budgets held against a simulation of each strike."""

from __future__ import annotations

import numpy as np
import pytest

from tameshi.demo.chain import Surroundings
from tameshi.demo.pulses import Force, half_sine, haversine, skewed
from tameshi.force import FIGURES, Origin, Rehearsed, Settings, Trace, rehearse
from tameshi.rig import Rig, conversion_of_rig
from tests.force.scenes import post, volts

DRAWS = 120


def checked(
    forces: list[Force], rig: Rig, surroundings: Surroundings, draws: int = DRAWS
) -> dict[str, Rehearsed]:
    samples = volts(forces, rig=rig, surroundings=surroundings)
    trace = Trace(samples, rig.converter.rate, "V", Origin("test.csv", "0" * 64, "volts"))
    found = rehearse(trace, conversion_of_rig(rig), rig=rig, draws=draws, generator=np.random.default_rng(4))
    return {one.figure: one for one in found if one.strike == 1}


@pytest.mark.parametrize("natural", [None, 800.0, 2500.0])
@pytest.mark.parametrize("shape", [half_sine, haversine, skewed])
def test_budgets_and_simulation_agree(shape, natural: float | None):
    found = checked([shape(900.0, 0.014, 0.4)], post(natural=natural), Surroundings(noise=3.0, hum=2.0))
    assert set(found) == set(FIGURES)
    for one in found.values():
        assert one.draws == DRAWS
        assert one.held > 0.85, one
        # when a flat top is highest is known well in one draw and badly in another
        if one.figure not in ("time_to_peak", "impulse_to_peak"):
            assert 0.6 * one.u < one.scatter < 2.0 * one.u, one


def test_noise_shows_in_budget_and_simulation_alike():
    quiet, noisy = (
        checked([half_sine(900.0, 0.014, 0.4)], post(), Surroundings(noise=noise)) for noise in (1.0, 8.0)
    )
    for name in ("contact_duration", "rise_time"):
        assert noisy[name].scatter / quiet[name].scatter == pytest.approx(
            noisy[name].u / quiet[name].u, rel=0.4
        )


def test_the_same_draws_give_the_same_check():
    one, other = (
        checked([half_sine(900.0, 0.014, 0.4)], post(), Surroundings(noise=3.0), 30) for _ in range(2)
    )
    assert one == other


def test_strikes_without_figures_are_left_out():
    rig = post(span=(-2.0, 2.0), capacity=5000.0)
    assert not checked([half_sine(6000.0, 0.012, 0.4)], rig, Surroundings(noise=3.0))


def test_a_spike_takes_no_number():
    rig = post(rate=50_000.0)
    samples = volts([half_sine(900.0, 0.0002, 0.2), half_sine(900.0, 0.012, 0.7)], rig=rig)
    trace = Trace(samples, 50_000.0, "V", Origin("test.csv", "0" * 64, "volts"))
    found = rehearse(
        trace,
        conversion_of_rig(rig),
        rig=rig,
        settings=Settings(),
        draws=20,
        generator=np.random.default_rng(1),
    )
    assert {one.strike for one in found} == {1}
