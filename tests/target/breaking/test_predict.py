"""Predictions: what goes up with what, and what is said with it."""

from __future__ import annotations

import math

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import UnmeasurableError, WrongUseError
from tameshi.quantity import Missing, Quantity, Source
from tameshi.rig import expected_strike
from tameshi.target.breaking import (
    BEAM_MASS,
    SURE,
    Between,
    Course,
    Lognormal,
    Outcome,
    PlateStrike,
    Prediction,
    SeenStrike,
    Target,
    Weibull,
    breaking_force,
    chance_in_words,
    contact_stiffness,
    course_of,
    material_of,
    measured_strike,
    passed_on,
    predict,
    prediction_as_dict,
    rate_factor,
    stiffness,
    typed_strike,
)
from tests.target.breaking.targets import BOARD, DISC, PLATE, TILE, strike, target


def outcome(what: Target, how: PlateStrike) -> Outcome:
    found = predict(what, how).outcome
    assert found is not None
    return found


def codes(prediction: Prediction) -> set[str]:
    return {flag.code for flag in prediction.flags}


def seen(peak: float, duration: float = 0.005, u: float = 0.01, key: str = "a") -> SeenStrike:
    time = np.linspace(0.0, duration, 400)
    force = peak * np.sin(math.pi * time / duration)
    return SeenStrike(
        Quantity(peak, "N", {Source(key, "calibration"): u * peak}),
        Quantity(
            peak * duration / math.pi, "N s", {Source(key, "calibration"): u * peak * duration / math.pi}
        ),
        Course(time, force),
    )


@given(st.floats(100.0, 8000.0), st.floats(1.05, 3.0))
@settings(max_examples=15)
def test_a_higher_peak_never_lowers_the_chance(peak: float, more: float) -> None:
    board = target(BOARD)
    lower, higher = (outcome(board, strike(f"{force} N")) for force in (peak, more * peak))
    assert 1.0 - SURE <= lower.chance <= higher.chance <= SURE
    assert lower.needed.value == pytest.approx(higher.needed.value)


@pytest.mark.parametrize("text", [BOARD, TILE, PLATE, DISC, PLATE.replace("all round", "clamped all round")])
def test_weak_strikes_hardly_ever_and_huge_ones_nearly_always_break(text: str) -> None:
    what = target(text)
    assert outcome(what, strike("10 N")).chance == 1.0 - SURE
    assert outcome(what, strike("70 kN")).chance == SURE


def test_the_chance_agrees_with_its_first_order_estimate() -> None:
    # derived: logarithms of need and strike are nearly normal, so that P = Phi(mean / spread) nearly holds
    from scipy import special

    found = outcome(target(BOARD), strike("2.2 kN", scatter=0.15, mass=None))
    margin = np.log(found.peak_draws / found.needed_draws)
    assert found.chance == pytest.approx(float(special.ndtr(margin.mean() / margin.std())), abs=0.02)


def test_the_chance_agrees_with_random_draws() -> None:
    # derived: the model written out once more, with 100 000 draws at random in place of the even ones
    tile, how = target(TILE), strike("700 N", scatter=0.2)
    material, generator, draws = material_of(tile), np.random.default_rng(7), 100_000

    def drawn(variable: Lognormal | Weibull | Between) -> np.ndarray:
        return variable.values(generator.standard_normal(draws))

    span, width = drawn(Lognormal(0.25, 0.003 / 0.25)), np.full(draws, 0.15)
    thick = drawn(Lognormal(0.010, 0.0003 / 0.010))
    strength = drawn(material.strength) * drawn(material.piece)
    strain = 5.5e6 / 10e9
    force = breaking_force(strength, span, width, thick) * drawn(rate_factor(material.rate, 0.0025, strain))
    spring = stiffness(drawn(material.modulus), span, width, thick)
    moving = BEAM_MASS * drawn(material.density) * span * width * thick
    mass = drawn(how.mass)
    contact = contact_stiffness(mass, np.full(draws, 0.005))
    around = drawn(Lognormal(1.0, 0.1)) * drawn(Lognormal(1.0, 0.1))  # model and shape of the pulse
    needed = force / passed_on(moving / mass, spring / contact) / around
    chance = float(np.mean(drawn(how.peak) >= needed))
    found = outcome(tile, how)
    assert 0.1 < chance < 0.9
    assert found.chance == pytest.approx(chance, abs=0.01)
    assert found.needed.value == pytest.approx(float(np.median(needed)), rel=0.01)


def test_shares_say_what_dominates() -> None:
    with_mass = outcome(target(BOARD), strike("2 kN", mass=2.5)).shares
    without = outcome(target(BOARD), strike("2 kN", mass=None)).shares
    assert next(iter(without)) == "striker mass"
    assert with_mass["striker mass"] < 0.1 < without["striker mass"]
    assert next(iter(with_mass)) == "piece to piece"
    assert sum(without.values()) == pytest.approx(1.0)


def test_a_longer_strike_of_the_same_peak_breaks_more() -> None:
    short, long = (outcome(target(BOARD), strike("1 kN", length)) for length in ("2 ms", "10 ms"))
    assert long.needed.value < short.needed.value


def test_boards_across_the_grain_need_far_less() -> None:
    across = predict(target(BOARD)).needs
    along = predict(target(BOARD, ('"across"', '"along"'))).needs
    assert along.static_force.value > 10.0 * across.static_force.value
    assert along.energy.value > 5.0 * across.energy.value


def test_flat_rings_bend_further() -> None:
    flat, quarter = (
        predict(target(BOARD, ('"across"', f'"across"\nrings = "{rings}"'))).needs
        for rings in ("flat", "quarter")
    )
    assert flat.deflection.value > 1.5 * quarter.deflection.value
    assert flat.static_force.value == pytest.approx(quarter.static_force.value)


def test_dry_wood_along_the_grain_is_stronger() -> None:
    wet, dry = (
        predict(target(BOARD, ('"across"', f'"along"\nmoisture = "{share} %"'))).needs for share in (15, 6)
    )
    assert dry.static_force.value > wet.static_force.value


def test_moisture_across_the_grain_is_told_but_not_counted() -> None:
    dry = predict(target(BOARD, ('"across"', '"across"\nmoisture = "6 %"')))
    assert "moisture-not-counted" in codes(dry)
    assert dry.needs.static_force.value == pytest.approx(predict(target(BOARD)).needs.static_force.value)


@pytest.mark.parametrize(("between", "power"), [("touching", 1), ("glued", 2)])
def test_stacks_that_bend_together(between: str, power: int) -> None:
    one = predict(target(BOARD)).needs
    three = predict(target(BOARD, more=f'[stack]\ncount = 3\nbetween = "{between}"\n')).needs
    assert three.static_force.value == pytest.approx(3.0**power * one.static_force.value)
    assert three.energy.value == pytest.approx(3.0 * one.energy.value)
    assert three.mass.value == pytest.approx(3.0 * one.mass.value)


def test_a_stack_with_spacers_breaks_from_above() -> None:
    found = outcome(target(BOARD, more='[stack]\ncount = 5\nbetween = "spaced"\n'), strike("5 kN"))
    assert len(found.by_count) == 5
    assert list(found.by_count) == sorted(found.by_count, reverse=True)
    assert found.chance == found.by_count[-1]
    assert found.by_count[0] == pytest.approx(outcome(target(BOARD), strike("5 kN")).chance, abs=0.05)


def test_hands_that_hold_take_something_away() -> None:
    firm = outcome(target(BOARD), strike("2 kN"))
    held = predict(target(BOARD, ('"two edges"', '"held by hand"')), strike("2 kN"))
    assert held.outcome is not None
    assert held.outcome.chance < firm.chance
    assert "held-by-hand" in codes(held)
    assert "holding" in held.outcome.shares


def test_flags_of_targets_beyond_the_formulas() -> None:
    assert "too-thick" in codes(predict(target(BOARD, ('"19 mm"', '"9 cm"'))))
    bends = target(PLATE, ("gypsum board, weak way", "melamine"), ('"12.5 mm"', '"2 mm"'))
    assert "bends-far" in codes(predict(bends))
    assert "group-minimum" in codes(predict(target(TILE, ("fired clay", "wall tile"))))
    assert "stack-alike" in codes(predict(target(TILE, more="[stack]\ncount = 2\n")))
    assert "heavy-target" in codes(predict(target(BOARD), strike()))


def test_a_clamped_plate_stands_more_than_a_supported_one_bends() -> None:
    loose, clamped = (
        predict(target(PLATE, ('"all round"', f'"{how}"'))).needs
        for how in ("all round", "clamped all round")
    )
    assert clamped.stiffness.value > 1.5 * loose.stiffness.value
    assert clamped.period.value < loose.period.value


def test_without_a_strike_only_the_target_is_told() -> None:
    told = predict(target(BOARD))
    assert told.outcome is None
    assert prediction_as_dict(told)["strike"] is None
    assert "mass-assumed" not in codes(told)


def test_a_recorded_half_sine_is_the_typed_one() -> None:
    typed = outcome(target(BOARD), typed_strike(expected_strike("2 kN", "5 ms"), mass=2.5))
    recorded = outcome(target(BOARD), measured_strike([seen(2000.0, u=0.0)], mass=2.5))
    assert recorded.pulse_ratio == pytest.approx(typed.pulse_ratio)
    assert recorded.course_factor == pytest.approx(recorded.dynamic_factor, rel=1e-4)
    assert recorded.needed.value == pytest.approx(typed.needed.value, rel=0.02)


def test_speed_and_mass_say_the_same() -> None:
    by_mass = typed_strike(expected_strike("2 kN", "5 ms"), mass=2.5)
    by_speed = typed_strike(expected_strike("2 kN", "5 ms"), speed=by_mass.speed)
    assert by_speed.mass.median == pytest.approx(2.5)
    with pytest.raises(WrongUseError, match="one says the other"):
        typed_strike(expected_strike("2 kN", "5 ms"), mass=2.5, speed=3.0)
    with pytest.raises(WrongUseError, match="above zero"):
        typed_strike(expected_strike("2 kN", "5 ms"), mass=0.0)


def test_the_assumed_mass_has_the_published_mean_and_scatter() -> None:
    mass = typed_strike(expected_strike("2 kN", "5 ms")).mass
    mean = mass.median * math.exp(0.5 * mass.spread**2)
    assert mean == pytest.approx(2.9)
    assert mean * math.sqrt(math.expm1(mass.spread**2)) == pytest.approx(2.0)


def test_the_next_strike_scatters_like_those_seen_and_a_little_more() -> None:
    peaks = [1800.0, 2000.0, 2200.0, 2100.0]
    found = measured_strike([seen(peak, u=0.0, key=str(peak)) for peak in peaks], mass=2.5)
    spread = float(np.std(np.log(peaks), ddof=1))
    assert found.peak.median == pytest.approx(float(np.exp(np.mean(np.log(peaks)))))
    assert found.peak.spread == pytest.approx(spread * math.sqrt(1.25))
    assert found.peak.dof == 3.0
    assert found.course is not None
    assert found.course.force.max() == pytest.approx(2000.0, rel=1e-4)


def test_one_strike_and_a_pad_are_told() -> None:
    found = measured_strike([seen(2000.0)], mass=2.5, pad="foam, 2 cm")
    assert {flag.code for flag in found.flags} == {"one-strike", "struck-on-pad"}
    assert found.peak.spread == pytest.approx(0.01)


def test_a_pad_nobody_named_is_told_and_a_bare_plate_is_not() -> None:
    assert "pad-not-said" in {flag.code for flag in measured_strike([seen(2000.0)], mass=2.5).flags}
    bare = measured_strike([seen(2000.0)], mass=2.5, pad="none")
    assert {flag.code for flag in bare.flags} == {"one-strike"}


def test_a_typed_mass_or_speed_is_not_taken_to_be_exact() -> None:
    # judgement of the reference table: 10 % and 5 %
    by_mass = typed_strike(expected_strike("2 kN", "5 ms"), mass=2.5)
    by_speed = typed_strike(expected_strike("2 kN", "5 ms"), speed=2.0)
    assert (by_mass.mass.spread, by_speed.mass.spread) == (0.1, 0.05)


@pytest.mark.parametrize(
    ("peak", "duration", "mass", "code"),
    [
        ("500 kN", "5 ms", None, "implausible-strike"),
        ("2 kN", "5 s", None, "implausible-strike"),
        ("2 kN", "5 ms", 0.001, "implausible-strike"),
    ],
)
def test_a_strike_that_nobody_makes_is_refused(
    peak: str, duration: str, mass: float | None, code: str
) -> None:
    with pytest.raises(WrongUseError) as caught:
        typed_strike(expected_strike(peak, duration), mass=mass)
    assert caught.value.code == code
    assert "units" in caught.value.hint


def test_a_strike_faster_than_any_that_was_published_is_doubted() -> None:
    # derived: 4 kN over 40 ms are 102 N s by a half-sine, 2 m v of 2.39 kg at 21.3 m/s
    doubted = typed_strike(expected_strike("4 kN", "40 ms"))
    assert "fast-striker" in {flag.code for flag in doubted.flags}
    assert doubted.speed == pytest.approx(21.3, rel=0.01)
    heavier = typed_strike(expected_strike("4 kN", "40 ms"), mass=6.0)
    assert "fast-striker" not in {flag.code for flag in heavier.flags}


@pytest.mark.parametrize("scatter", [-0.1, 3.0])
def test_a_scatter_that_is_none_is_refused(scatter: float) -> None:
    with pytest.raises(WrongUseError) as caught:
        strike("2 kN", scatter=scatter)
    assert caught.value.code == "wrong-scatter"


def test_what_does_not_vary_has_no_uncertainty_from_rounding() -> None:
    found = outcome(target(BOARD), strike("2 kN"))
    assert found.peak.u == 0.0
    assert found.peak.value == 2000.0


def test_a_thin_sheet_that_bends_far_is_doubted_on_two_edges_as_well() -> None:
    # derived: a sheet a hundredth of its span in thickness bends by sigma L / (6 E t/L) of its span
    sheet = TILE.replace("fired clay", "melamine").replace('"10 mm"', '"1.5 mm"')
    assert sheet.count("1.5 mm") == 1
    assert "bends-far" in codes(predict(target(sheet)))
    assert "bends-far" not in codes(predict(target(TILE)))


def test_a_board_much_wider_than_its_span_is_doubted() -> None:
    assert "wide-target" not in codes(predict(target(BOARD)))
    wide = BOARD.replace('width = "30 cm"', 'width = "1.2 m"')
    assert wide != BOARD
    assert "wide-target" in codes(predict(target(wide)))


def test_strikes_without_a_known_peak_are_left_out() -> None:
    cut = SeenStrike(Missing("N", "the top was cut off", 3000.0), Missing("N s", "the same"))
    assert measured_strike([cut, seen(2000.0)], mass=2.5).count == 1
    with pytest.raises(UnmeasurableError, match="known peak"):
        measured_strike([cut])


def test_the_course_of_a_curve_is_its_contact() -> None:
    force = np.concatenate([np.zeros(50), np.sin(np.linspace(0.0, math.pi, 51)), np.zeros(50)])
    course = course_of(1.0, 10_000.0, force, onset=1.005, end=1.010)
    assert course is not None
    assert course.time[0] == pytest.approx(0.0, abs=1e-9)
    assert len(course.time) == pytest.approx(51, abs=1)
    assert course_of(1.0, 10_000.0, force, onset=1.005, end=1.0051) is None
    assert course_of(1.0, 10_000.0, -force, onset=1.005, end=1.010) is None


@pytest.mark.parametrize(
    ("chance", "words"),
    [
        (SURE, "more than 999 in 1000"),
        (1.0 - SURE, "fewer than 1 in 1000"),
        (0.57, "about 57 in 100"),
        (0.004, "about 4 in 1000"),
        (0.996, "about 996 in 1000"),
    ],
)
def test_chances_in_words_promise_nothing(chance: float, words: str) -> None:
    assert chance_in_words(chance) == words


def test_cautions_go_with_every_result() -> None:
    told = " ".join(prediction_as_dict(predict(target(BOARD), strike()))["cautions"])
    for word in ("promise", "eye protection", "hand", "instructor", "glass"):
        assert word in told
