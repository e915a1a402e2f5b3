import json
from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from tameshi.errors import Flag, UnmeasurableError, WrongUseError
from tameshi.quantity import Missing, Quantity, Source, from_record
from tameshi.target.contact import DissipativeContact
from tameshi.target.head import injury_criterion
from tameshi.target.transfer import (
    Blow,
    BodyPart,
    Pad,
    PartModel,
    Range,
    Striker,
    Transfer,
    blow_of,
    body_part,
    cut_pulse,
    drive,
    follow_contact,
    part_names,
    published_striker,
    scaled_pulse,
    transfer,
    transfer_as_dict,
    transfer_to_record,
)
from tests.target.transfer.blows import CONTACT, MASS, RATE, SPEED, figure, recorded

FILMED = Striker(speed=Range(0.99 * SPEED, 1.01 * SPEED))


def part(stiffness: float, mass: float, *, spread: float = 1.0001, is_head: bool = False) -> BodyPart:
    model = PartModel(
        key="made up",
        name="made up",
        stiffness=Range(stiffness / spread, stiffness * spread),
        mass=Range(mass / spread, mass * spread),
        source="ours",
        mass_source="ours",
    )
    return BodyPart(name="made up", models=(model,), is_head=is_head)


def middle(found: Transfer) -> float:
    """Return the median of the peak force on the part."""
    assert found.arrival is not None
    assert found.arrival.peak_force.median is not None
    return found.arrival.peak_force.median


def rng(seed: int = 1) -> np.random.Generator:
    return np.random.default_rng(seed)


@given(
    st.floats(1.0, 5.0), st.floats(4.0, 12.0), st.floats(2e4, 2e5), st.floats(2.0, 40.0), st.floats(1e4, 1e6)
)
@settings(max_examples=12, deadline=None)
def test_the_band_holds_what_a_known_striker_does_to_a_known_part(mass, speed, own, struck, soft):
    # on the plate the striker's own spring, on the part both: truth by integration, with its own loss
    striker = DissipativeContact(stiffness=own, exponent=1.0, dissipation=0.05 / speed)
    blow = recorded(mass=mass, speed=speed, contact=striker)
    both = DissipativeContact(
        stiffness=1.0 / (1.0 / own + 1.0 / soft), exponent=1.0, dissipation=0.05 / speed
    )
    truth = follow_contact(mass, struck, speed, both)
    said = Striker(speed=Range(0.99 * speed, 1.01 * speed))
    found = transfer(blow, part(soft, struck), said, generator=rng(), draws=2000)
    arrival, top = found.arrival, float(truth.force.max())
    assert arrival is not None
    for band, true in (
        (arrival.peak_force, top),
        (arrival.acceleration, top / struck),
        (arrival.impulse, truth.impulse),
        (arrival.speed, truth.impulse / struck),
        (found.striker_mass, mass),
        (found.limits.force, top),
        (found.limits.acceleration, top / struck),
    ):
        assert band is not None
        assert band.low is not None
        assert band.high is not None
        assert band.low <= true <= band.high


def test_a_wall_gives_the_plates_own_force_back():
    blow = recorded()
    found = transfer(blow, part(1e12, 1e9), FILMED, generator=rng(), draws=4000)
    assert found.arrival is not None
    band = found.arrival.peak_force
    assert band.median is not None
    assert band.high is not None
    assert band.median <= blow.peak_force.value * 1.01
    assert band.high == pytest.approx(blow.peak_force.high, rel=0.01)


def test_heavier_and_harder_parts_take_more_force():
    medians = []
    for stiffness, mass in ((1e4, 2.0), (1e5, 2.0), (1e5, 20.0), (1e6, 20.0)):
        found = transfer(recorded(), part(stiffness, mass), FILMED, generator=rng(), draws=4000)
        medians.append(middle(found))
    assert medians == sorted(medians)


def test_mass_and_speed_tell_the_same_story():
    medians = []
    for said in (FILMED, Striker(mass=Range(0.99 * MASS, 1.01 * MASS))):
        found = transfer(recorded(), body_part("chest"), said, generator=rng(), draws=4000)
        medians.append(middle(found))
    assert medians[0] == pytest.approx(medians[1], rel=0.15)
    both = Striker(mass=Range(0.95 * MASS, 1.05 * MASS), speed=Range(0.97 * SPEED, 1.03 * SPEED))
    narrow = transfer(recorded(), body_part("chest"), both, generator=rng(), draws=4000)
    assert narrow.striker_mass is not None
    assert narrow.striker_mass.low is not None
    assert narrow.striker_mass.low > 0.94 * MASS
    wide = transfer(recorded(), body_part("chest"), FILMED, generator=rng(), draws=4000)
    assert wide.striker_mass is not None
    assert wide.striker_mass.low is not None
    assert wide.striker_mass.low < narrow.striker_mass.low


def test_mass_and_speed_that_cannot_make_the_impulse():
    wrong = Striker(mass=Range(0.2, 0.3), speed=Range(1.0, 2.0))
    with pytest.raises(UnmeasurableError) as refused:
        transfer(recorded(), body_part("chest"), wrong, generator=rng())
    assert refused.value.code == "striker-contradicts"


def test_published_strikes_keep_heavy_and_slow_together():
    found = transfer(recorded(), body_part("face"), Striker(published="punch"), generator=rng())
    assert {flag.code for flag in found.flags} == {"striker-published"}
    assert found.striker_mass is not None
    assert found.striker_speed is not None
    for band, true in ((found.striker_mass, MASS), (found.striker_speed, SPEED)):
        assert band.low is not None
        assert band.high is not None
        assert band.low < true < band.high
    # the greatest mass goes with the slowest hand, and no momentum beyond the impulse
    assert found.striker_mass.high is not None
    assert found.striker_speed.low is not None
    assert found.striker_mass.high * found.striker_speed.low < 1.5 * recorded().impulse.value


def test_an_impulse_no_published_strike_makes():
    said = Striker(published="palm strike")
    push = recorded(mass=9.0, speed=8.0)
    found = transfer(push, body_part("chest"), said, generator=rng(), draws=2000)
    assert "unlike-published" in {flag.code for flag in found.flags}
    with pytest.raises(UnmeasurableError) as refused:
        transfer(recorded(mass=900.0, speed=9.0), body_part("chest"), said, generator=rng(), draws=500)
    assert refused.value.code == "unlike-published"


@pytest.mark.parametrize(
    ("technique", "known"),
    [
        ("rear cross", "punch"),
        ("Gyaku-Tsuki", "punch"),
        ("palm heel", "palm strike"),
        ("front kick", None),
        (None, None),
        ("", None),
    ],
)
def test_techniques_with_published_strikes(technique, known):
    assert published_striker(technique) == known


def test_nothing_known_of_the_striker_leaves_two_limits():
    blow = recorded()
    found = transfer(blow, body_part("face"), Striker(), generator=rng())
    assert found.arrival is None
    assert found.head is None
    assert found.by_model == ()
    assert "striker-unknown" in {flag.code for flag in found.flags}
    limits = found.limits
    assert limits.force.median is None
    assert limits.force.level is None
    assert limits.force.high == blow.peak_force.high
    assert limits.hic15 is not None
    assert limits.hic15.low is not None
    assert limits.hic15.high is not None
    assert limits.hic15.low < limits.hic15.high


@pytest.mark.parametrize("pad", [Pad(None), Pad("foam 20 mm")])
def test_a_pad_that_is_not_known_leaves_one_side(pad):
    found = transfer(recorded(pad=pad), body_part("face"), FILMED, generator=rng(), draws=2000)
    arrival = found.arrival
    assert arrival is not None
    assert "pad-unknown" in {flag.code for flag in found.flags}
    for band in (arrival.peak_force, arrival.acceleration, found.limits.force, found.limits.acceleration):
        assert band.is_one_sided
        assert band.high is None
        assert band.median is None
        assert band.low is not None
    assert (arrival.duration.low, arrival.duration.median) == (None, None)
    assert not arrival.impulse.is_one_sided
    assert found.head is not None
    assert found.head.hic15.high is None
    assert (found.head.clip_summed.low, found.head.clip_summed.high) == (None, None)


def test_a_pad_of_known_stiffness_is_taken_back():
    own, foam = 80e3, 120e3
    bare = recorded(contact=DissipativeContact(stiffness=own, exponent=1.0, dissipation=0.01))
    series = DissipativeContact(stiffness=1.0 / (1.0 / own + 1.0 / foam), exponent=1.0, dissipation=0.01)
    padded = recorded(contact=series, pad=Pad("foam", Range(0.99 * foam, 1.01 * foam)))
    target = part(6e4, 5.0)
    medians = []
    for blow in (bare, padded, replace(padded, pad=Pad("none"))):
        found = transfer(blow, target, FILMED, generator=rng(), draws=6000)
        medians.append(middle(found))
    assert medians[1] == pytest.approx(medians[0], rel=0.05)
    assert medians[2] < 0.9 * medians[0]


def test_a_pad_too_soft_to_have_been_there():
    soft = recorded(pad=Pad("feathers", Range(90.0, 110.0)))
    with pytest.raises(UnmeasurableError) as refused:
        transfer(soft, body_part("face"), FILMED, generator=rng(), draws=1000)
    assert refused.value.code == "pad-contradicts"


def test_a_long_push_and_an_odd_shape_are_told():
    push = recorded(contact=DissipativeContact(stiffness=5e3, exponent=1.0))
    assert "long-push" in {
        flag.code for flag in transfer(push, body_part("chest"), Striker(), generator=rng()).flags
    }
    odd = replace(recorded(), impulse=figure(2.0, "N s"))
    assert "odd-pulse" in {
        flag.code for flag in transfer(odd, body_part("chest"), Striker(), generator=rng()).flags
    }


def test_what_is_known_too_badly_is_refused():
    vague = Quantity(10.0, "N s", {Source("noise", "noise"): 8.0})
    with pytest.raises(UnmeasurableError) as refused:
        transfer(replace(recorded(), impulse=vague), body_part("face"), FILMED, generator=rng())
    assert refused.value.code == "too-uncertain"


def test_measured_figures_that_share_a_calibration_are_drawn_together():
    from tameshi.target.transfer.spread import draw_together

    shared, own = Source("calibration", "calibration"), Source("noise", "noise", 4.0)
    force = Quantity(1000.0, "N", {shared: 50.0})
    impulse = Quantity(10.0, "N s", {shared: 0.5, own: 0.01})
    drawn = draw_together((force, impulse), rng(), 50_000)
    assert np.corrcoef(drawn[0], drawn[1])[0, 1] > 0.99
    assert drawn[0].std() == pytest.approx(50.0, rel=0.02)


def test_the_same_seed_gives_the_same_band():
    one, other = (
        transfer(recorded(), body_part("face"), FILMED, generator=rng(3), draws=500) for _ in range(2)
    )
    assert one.arrival == other.arrival


@pytest.mark.parametrize("name", part_names())
def test_every_part_can_be_struck(name):
    known = body_part(name)
    found = transfer(recorded(), known, FILMED, generator=rng(), draws=300, flags=(Flag("clipped", "so", 1),))
    assert found.arrival is not None
    assert len(found.by_model) == len(known.models)
    assert (found.head is not None) == known.is_head
    assert found.flags[0].code == "clipped"
    json.dumps(transfer_as_dict(found), allow_nan=False)
    record = transfer_to_record(found)
    again = from_record(record["measured"]["peak_force"])
    assert isinstance(again, Quantity)
    assert again.u == pytest.approx(recorded().peak_force.u)
    assert record["onto"]["part"] == name


def test_a_part_that_is_not_there():
    with pytest.raises(WrongUseError, match="forehead"):
        body_part("nose")


def test_bands_are_never_taken_for_measured_quantities():
    entry = transfer_as_dict(transfer(recorded(), body_part("face"), FILMED, generator=rng(), draws=300))
    bands = [*entry["head"].values(), *list(entry["limits"].values())[:2]]
    bands += [value for key, value in entry["arrival"].items() if key != "name"]
    for band in bands:
        assert band["modelled"] is True
        assert not {"value", "u", "budget"} & set(band)


def test_head_measures_scale_as_the_pulse_itself():
    blow = recorded()
    known = part(1e5, 5.0, is_head=True)
    found = transfer(blow, known, FILMED, generator=rng(), draws=4000)
    assert found.head is not None
    assert found.arrival is not None
    assert blow.force is not None
    low, high = found.head.hic15.low, found.head.hic15.high
    assert low is not None
    assert high is not None
    truth = follow_contact(
        MASS,
        5.0,
        SPEED,
        DissipativeContact(stiffness=1.0 / (1.0 / 90e3 + 1e-5), exponent=1.0, dissipation=0.04),
    )
    even = np.arange(0.0, truth.duration, 1.0 / RATE)
    pulse = scaled_pulse(
        np.interp(even, truth.time, truth.force), RATE, force_ratio=1.0, time_ratio=1.0, mass=5.0
    )
    assert low < injury_criterion(pulse, 0.015).value < high
    same = transfer(replace(blow, force=None, rate=0.0), known, FILMED, generator=rng(), draws=500)
    assert same.head is None
    assert same.limits.hic15 is None


def test_a_body_driven_by_a_pulse_takes_its_impulse():
    blow = recorded()
    assert blow.force is not None
    moved = drive(blow.force, blow.rate, 4.0)
    assert 4.0 * moved.speed[-1] == pytest.approx(blow.impulse.value, rel=2e-3)
    assert moved.acceleration.max() == pytest.approx(blow.peak_force.value / 4.0, rel=1e-3)
    assert moved.way[-1] == pytest.approx(np.trapezoid(moved.speed, moved.time))
    with pytest.raises(WrongUseError):
        drive(blow.force, blow.rate, 0.0)


def test_a_strike_without_a_figure_is_refused():
    whole = figure(1.0, "N")
    for missing, code in (("peak_force", "no-force"), ("impulse", "no-impulse"), ("duration", "no-duration")):
        figures = {"peak_force": whole, "impulse": whole, "duration": whole, missing: Missing("N", "clipped")}
        with pytest.raises(UnmeasurableError) as refused:
            blow_of(index=1, pad=Pad("none"), **figures)  # type: ignore[arg-type]
        assert refused.value.code == code


def test_the_contact_is_cut_out_of_its_curve():
    force = np.arange(100.0)
    cut = cut_pulse(force, start=1.0, rate=100.0, onset=1.2, end=1.4)
    assert cut[0] < 20.0
    assert 20.0 in cut
    assert 40.0 in cut
    with pytest.raises(UnmeasurableError):
        cut_pulse(force, start=1.0, rate=100.0, onset=5.0, end=6.0)
    with pytest.raises(WrongUseError):
        Blow(
            index=1,
            peak_force=figure(1.0, "N"),
            impulse=figure(1.0, "N s"),
            duration=figure(1.0, "s"),
            pad=Pad("none"),
            force=force,
        )


@pytest.mark.parametrize("ends", [(0.0, 1.0), (2.0, 1.0), (1.0, float("inf")), (-1.0, 1.0)])
def test_ranges_that_hold_nothing(ends):
    with pytest.raises(WrongUseError):
        Range(*ends)


def test_the_striker_of_the_tests_is_what_it_says():
    assert recorded().impulse.value > MASS * SPEED
    assert CONTACT.exponent == 1.0
