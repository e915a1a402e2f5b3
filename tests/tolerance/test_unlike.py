"""Unlike kinds never meet, whatever their units; internal pressures meet nothing at all."""

from itertools import product

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, Source
from tameshi.tolerance import (
    Case,
    Comparability,
    Kind,
    Modelled,
    Published,
    Reading,
    Spread,
    compare,
    kind_facts,
    place,
    published_values,
)

ROWS = published_values()


def quantity(value: float, kind: Kind) -> Quantity:
    unit = kind_facts(kind).si
    return Quantity(value, unit, {Source("u", "u"): 0.05 * value})


def reading(value: float, kind: Kind) -> Reading:
    known = quantity(value, kind)
    return Reading(kind=kind, least=known, most=known, how="for a test")


def everything(scale: float) -> Case:
    """A strike of which every kind is offered, each as if a model had worked it out."""
    return Case(
        label="all",
        force=quantity(3000.0 * scale, Kind.CONTACT_FORCE),
        area=Quantity(20e-4, "m2"),
        local_pressure=quantity(2e6 * scale, Kind.LOCAL_PRESSURE),
        pad="none",
        modelled=tuple(Modelled(kind, quantity(scale * kind_facts(kind).high, kind), "any") for kind in Kind),
    )


@pytest.mark.parametrize(("ours", "theirs"), list(product(Kind, Kind)))
def test_all_pairs_of_kinds(ours: Kind, theirs: Kind) -> None:
    facts = kind_facts(theirs)
    spread = Spread(facts.low, facts.high, None, "for a test")
    if ours is theirs:
        found = place(reading(facts.low, ours), theirs, spread)
        assert found.below + found.inside + found.above + found.undecided == pytest.approx(1.0)
        return
    with pytest.raises(WrongUseError) as caught:
        place(reading(facts.low, ours), theirs, spread)
    assert caught.value.code == "unlike-kinds"


@given(scale=st.floats(0.01, 100.0))
def test_whatever_is_offered_only_like_meets_like(scale: float) -> None:
    for one in compare(everything(scale), ROWS):
        assert (one.reading is None) == (one.placing is None)
        if one.reading is not None:
            assert one.reading.kind is one.published.kind
        if one.comparability is Comparability.NEVER:
            assert one.reading is None
        if one.comparability is Comparability.MODEL:
            assert one.reading is None or one.reading.model == "any"
        else:
            assert one.reading is None or not one.reading.model


@pytest.mark.parametrize("row", ROWS, ids=lambda row: row.key)
def test_internal_pressures_and_their_like_meet_nothing(row: Published) -> None:
    never = {Kind.INTERNAL_PRESSURE, Kind.AIR_PRESSURE, Kind.TISSUE_STRESS, Kind.SURFACE_PRESSURE}
    (found,) = compare(everything(1.0), [row])
    if row.kind in never or kind_facts(row.kind).reach == "never":
        assert found.comparability is Comparability.NEVER
        assert found.reading is None
        assert found.reason


def test_a_reading_has_a_unit_of_its_kind() -> None:
    newtons = Quantity(3.0, "N")
    with pytest.raises(WrongUseError):
        Reading(kind=Kind.LOCAL_PRESSURE, least=newtons, most=newtons, how="for a test")


def test_without_a_model_nothing_that_needs_one_is_compared() -> None:
    bare = Case(label="bare", force=Quantity(3000.0, "N"), area=Quantity(20e-4, "m2"), pad="none")
    for one in compare(bare, ROWS):
        if one.comparability is Comparability.MODEL:
            assert one.reading is None
        if one.reading is not None:
            assert one.published.kind in {Kind.CONTACT_FORCE, Kind.MEAN_PRESSURE, Kind.LOCAL_PRESSURE}


def test_head_motion_is_reached_through_a_model_only() -> None:
    for row in ROWS:
        if row.kind.startswith("head "):
            (found,) = compare(Case(label="x", force=Quantity(3000.0, "N")), [row])
            assert (found.comparability, found.reading) == (Comparability.MODEL, None)


def test_a_model_for_one_region_is_not_used_for_another() -> None:
    force = Quantity(2000.0, "N", {Source("m", "model"): 400.0})
    case = Case(label="x", modelled=(Modelled(Kind.CONTACT_FORCE, force, "two-body", ("chest",)),))
    found = {one.published.key: one for one in compare(case, ROWS) if one.reading is not None}
    assert "ch-08" in found
    assert {one.published.region for one in found.values()} == {"chest"}
    assert all("two-body" in one.reading.how for one in found.values() if one.reading)
