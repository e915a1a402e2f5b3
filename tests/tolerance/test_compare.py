"""What may be compared, from which side, and how conditions are told."""

import pytest

from tameshi.errors import WrongUseError
from tameshi.quantity import Quantity, Source
from tameshi.tolerance import (
    Case,
    Comparability,
    Comparison,
    Kind,
    cautions_for,
    compare,
    endpoints,
    gaps_for,
    published_values,
    regions_named,
    select,
    skull_at,
    surfaces_of,
    together,
)

ROWS = published_values()
FORCE = Quantity(2400.0, "N", {Source("c", "calibration"): 60.0})
AREA = Quantity(12e-4, "m2", {Source("a", "edge"): 0.3e-4})
DURATION = Quantity(0.011, "s", {Source("t", "noise"): 1e-4})


def case(*, technique: str | None = None, pad: str | None = "none", area: Quantity | None = AREA) -> Case:
    return Case(
        label="one", force=FORCE, area=area, duration=DURATION, pad=pad, surfaces=surfaces_of(technique)
    )


def by_key(found: tuple[Comparison, ...]) -> dict[str, Comparison]:
    return {one.published.key: one for one in found}


@pytest.mark.parametrize(
    ("technique", "surfaces"),
    [
        ("palm heel", {"palm heel"}),
        ("Hammer-fist, right", {"little finger side"}),
        ("fist", {"knuckles"}),
        ("reverse punch", {"knuckles"}),
        ("hook kick", {"heel"}),
        ("left hook", {"knuckles"}),
        ("knees", {"knee"}),
        ("kneeling bow", set()),
        ("roundhouse kick", {"shin", "instep"}),
        ("", set()),
        (None, set()),
        ("something new", set()),
    ],
)
def test_the_name_of_a_technique_tells_its_surface(technique: str | None, surfaces: set[str]) -> None:
    assert set(surfaces_of(technique)) == surfaces


def test_the_own_limb_follows_the_surface() -> None:
    palm = by_key(compare(case(technique="palm heel"), ROWS))
    assert palm["lb-04"].comparability is Comparability.COMPARABLE
    assert "own palm heel" in palm["lb-04"].reason
    assert palm["ft-02"].comparability is Comparability.NEVER
    assert "lands with the palm heel" in palm["ft-02"].reason
    assert palm["ft-02"].placing is None
    kick = by_key(compare(case(technique="roundhouse kick"), ROWS))
    assert kick["ft-02"].comparability is Comparability.COMPARABLE
    assert kick["lb-13"].comparability is Comparability.COMPARABLE
    assert kick["lb-04"].comparability is Comparability.NEVER
    unknown = by_key(compare(case(), ROWS))
    assert unknown["lb-04"].reason.startswith("If it was struck with the palm heel")
    assert unknown["lb-13"].comparability is Comparability.ONE_SIDE


def test_those_that_are_comparable_come_first() -> None:
    order = list(Comparability)
    places = [order.index(one.comparability) for one in compare(case(), ROWS)]
    assert places == sorted(places)
    assert len(places) == len(ROWS)


def test_every_comparison_has_its_reason() -> None:
    for one in compare(case(technique="knee"), ROWS):
        assert one.reason.endswith(".")
        assert bool(one.conditions) == (one.reading is not None)


@pytest.mark.parametrize(
    ("pad", "words"),
    [("none", "Bare plate"), (None, "Pad not known"), ("felt, 6 mm", "Padded plate (felt, 6 mm)")],
)
def test_one_sided_says_what_the_pad_means(pad: str | None, words: str) -> None:
    assert words in by_key(compare(case(pad=pad), ROWS))["fm-13"].reason


def test_conditions_are_matched_in_words() -> None:
    found = by_key(compare(case(), ROWS))
    assert "Contact area alike, 1.9 times the study's 6.45 cm² (1 in²)." in found["fm-13"].conditions
    assert any("does not match: 2.4 times the study's 5 cm²" in one for one in found["sk-01"].conditions)
    assert any("not stated" in one for one in found["fc-01"].conditions)
    assert any("loaded slowly" in one for one in found["lb-09"].conditions)
    assert any("projectiles" in one for one in found["sk-16"].conditions)
    without = by_key(compare(case(area=None), ROWS))
    assert any("Contact area not measured; 6.45 cm²" in one for one in without["fm-13"].conditions)


def test_a_print_reaches_local_pressure_from_one_side_only() -> None:
    found = by_key(compare(case(), ROWS))
    local = found["iso-p03"]
    assert local.comparability is Comparability.ONE_SIDE
    assert local.reading is not None
    assert local.reading.is_band
    assert "bounds local pressure" in local.reason
    assert by_key(compare(case(area=None), ROWS))["iso-p03"].reading is None


def test_the_skull_at_the_area_of_the_contact() -> None:
    row = skull_at(AREA.value)
    assert row is not None
    (found,) = compare(case(), [row])
    assert found.comparability is Comparability.ONE_SIDE
    assert found.placing is not None
    assert skull_at(1e-4) is None
    assert skull_at(1e-2) is None


def test_an_overview_covers_all_that_it_puts_together() -> None:
    found = compare(case(technique="palm heel"), ROWS)
    groups = together(found)
    assert sum(len(one.comparisons) for one in groups) == sum(one.reading is not None for one in found)
    for group in groups:
        assert group.spread.low == min(one.spread.low for one in group.comparisons)
        assert group.spread.high == max(one.spread.high for one in group.comparisons)
        assert {one.published.kind for one in group.comparisons} == {group.kind}
        assert group.sources
    assert any(group.title.startswith("striker's own") for group in groups)


def test_rows_are_chosen_by_region_outcome_and_kind() -> None:
    face = select(ROWS, region="face", endpoint="fracture", kind="contact force")
    assert face
    assert {(row.region, row.endpoint, row.kind) for row in face} == {
        ("face", "fracture", Kind.CONTACT_FORCE)
    }
    assert set(regions_named("head")) >= {"skull", "face", "brain"}
    assert regions_named("Jaw") == ("face",)
    assert "pain" in endpoints()


@pytest.mark.parametrize(
    ("what", "code"),
    [
        ({"region": "tail"}, "unknown-region"),
        ({"endpoint": "x"}, "unknown-endpoint"),
        ({"kind": "pressure"}, "unknown-kind"),
    ],
)
def test_unknown_words_are_refused_with_those_that_are_known(what: dict[str, str], code: str) -> None:
    with pytest.raises(WrongUseError) as caught:
        select(ROWS, **what)
    assert caught.value.code == code
    assert caught.value.hint.startswith("There are: ")


def test_the_heart_the_head_and_the_throat_have_cautions_of_their_own() -> None:
    words = {
        key: " ".join(one.lead + one.words for one in cautions_for([key]))
        for key in ("chest", "face", "hand")
    }
    assert "Commotio cordis" in words["chest"]
    assert "Concussion" in words["face"]
    assert "Commotio" not in words["hand"]
    assert all("may be used on a person" in one for one in words.values())
    assert len(cautions_for()) > len(cautions_for(["hand"]))


def test_gaps_are_told() -> None:
    assert any("metacarpal" in one for one in gaps_for(["hand"]))
    assert any("impulse" in one for one in gaps_for(["chest"]))
    assert len(gaps_for()) > len(gaps_for(["ear"]))
