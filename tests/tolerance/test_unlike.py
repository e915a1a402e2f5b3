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
    Drawn,
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


def modelled(scale: float, kind: Kind) -> Modelled:
    known = drawn(scale * kind_facts(kind).high, kind)
    # a pulse of 10 ms, so that means over such a time are offered too
    duration = Drawn("s", (0.5,), (0.010,))
    return Modelled(kind=kind, least=known, most=known, model="any", duration=duration)


def drawn(value: float, kind: Kind) -> Drawn:
    return Drawn(kind_facts(kind).si, (0.1, 0.5, 0.9), (0.5 * value, value, 2.0 * value))


def everything(scale: float) -> Case:
    """A strike of which every kind is offered, each as if a model had worked it out."""
    return Case(
        label="all",
        force=quantity(3000.0 * scale, Kind.CONTACT_FORCE),
        area=Quantity(20e-4, "m2"),
        local_pressure=quantity(2e6 * scale, Kind.LOCAL_PRESSURE),
        pad="none",
        modelled=tuple(modelled(scale, kind) for kind in Kind),
    )


def forms(value: float, kind: Kind) -> list[Reading]:
    """A quantity in every form: measured, a bound, modelled, modelled from one side, two bounds."""
    low, high = drawn(value, kind), drawn(2.0 * value, kind)
    shapes: list[tuple[Drawn, Drawn | None]] = [(low, low), (low, None), (low, high)]
    by_model = [Modelled(kind=kind, least=least, most=most, model="any") for least, most in shapes]
    bound = Quantity(value, kind_facts(kind).si)
    cut_off = Reading(kind=kind, least=bound, most=bound, at_least=value, how="for a test")
    return [reading(value, kind), cut_off, *(one.reading for one in by_model)]


@pytest.mark.parametrize(("ours", "theirs"), list(product(Kind, Kind)))
def test_all_pairs_of_kinds(ours: Kind, theirs: Kind) -> None:
    facts = kind_facts(theirs)
    spread = Spread(facts.low, facts.high, None, "for a test")
    for offered in forms(facts.high, ours):
        if ours is theirs:
            found = place(offered, theirs, spread)
            assert found.below + found.inside + found.above + found.undecided == pytest.approx(1.0)
            continue
        with pytest.raises(WrongUseError) as caught:
            place(offered, theirs, spread)
        assert caught.value.code == "unlike-kinds"


@pytest.mark.parametrize(("ours", "theirs"), list(product(Kind, Kind)))
def test_all_pairs_of_a_modelled_kind_and_the_rows_there_are(ours: Kind, theirs: Kind) -> None:
    case = Case(label="one kind", modelled=(modelled(1.0, ours),))
    for one in compare(case, [row for row in ROWS if row.kind is theirs]):
        if ours is not theirs or one.comparability is not Comparability.MODEL:
            assert one.reading is None
        else:
            assert one.reading is None or (one.reading.kind, one.reading.model) == (theirs, "any")


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
    onto = Modelled(kind=Kind.CONTACT_FORCE, least=force, most=force, model="two-body", regions=("chest",))
    case = Case(label="x", modelled=(onto,))
    found = {one.published.key: one for one in compare(case, ROWS) if one.reading is not None}
    assert "ch-08" in found
    assert {one.published.region for one in found.values()} == {"chest"}
    assert all("two-body" in one.reading.how for one in found.values() if one.reading)
