from dataclasses import replace
from datetime import datetime, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from tameshi import __version__
from tameshi.errors import StudyError, WrongUseError
from tameshi.quantity import Quantity, Source, correlation, from_record, to_record
from tameshi.study import Recipe, Result, check, find_result, read_result_file, results, store_result
from tests.study.samples import AT, LATER, RECORDING, add, fill

RECIPE = Recipe(
    kind="strikes",
    schema="tameshi.strikes/1",
    inputs={"recording": "a" * 64, "rig": "b" * 64},
    settings={"channel_class": 1000, "baseline": "drift"},
    software="1.2.3",
)
BODY = {"strikes": [{"index": 1, "peak_force": {"value": 2000.5, "u": None}}]}


@pytest.fixture
def recipe(study):
    recording = add(study, RECORDING, "a.csv")
    return Recipe(kind="strikes", schema="tameshi.strikes/1", inputs={"recording": recording.sha256})


def test_a_result_comes_back_with_everything_that_made_it(study, recipe):
    stored = store_result(study, recipe, BODY, at=AT, files={"trace.png": b"picture"})
    assert stored == find_result(study, recipe)
    assert (stored.recipe, stored.body, stored.made_at) == (recipe, BODY, AT)
    assert stored.recipe.software == __version__
    assert read_result_file(study, stored, "trace.png") == b"picture"


def test_a_quantity_comes_back_exactly_and_with_its_correlation(study, recipe):
    calibration = Source("calibration:7", "calibration", dof=9)
    force = Quantity(2000.1, "N", {calibration: 20.0, Source("noise:1", "noise"): 1.0 / 3.0})
    other = Quantity(1000.0, "N", {calibration: 10.0})
    stored = store_result(study, recipe, {"a": to_record(force), "b": to_record(other)}, at=AT)
    back, second = (from_record(stored.body[name]) for name in ("a", "b"))
    assert isinstance(back, Quantity)
    assert isinstance(second, Quantity)
    assert (back.value, back.unit, dict(back.parts)) == (force.value, force.unit, dict(force.parts))
    assert correlation(back, second) == correlation(force, other)


def test_what_was_not_worked_out_is_not_found(study, recipe):
    assert find_result(study, recipe) is None


def test_the_same_work_is_stored_once_and_changes_nothing(study, folder, recipe):
    first = store_result(study, recipe, BODY, at=AT, files={"trace.png": b"picture"})
    before = {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()}
    again = store_result(study, recipe, {"other": 1}, at=LATER, files={"trace.png": b"another"})
    assert again == first
    assert {path: path.read_bytes() for path in folder.rglob("*") if path.is_file()} == before


def test_a_new_version_makes_a_new_result_and_the_old_one_stays(study, recipe):
    old = store_result(study, replace(recipe, software="0.0.9"), BODY, at=AT)
    new = store_result(study, recipe, BODY, at=LATER)
    assert old.key != new.key
    assert results(study) == (old, new)
    assert results(study, software="0.0.9") == (old,)


def test_results_are_chosen_by_kind_and_by_original(study):
    _, recording, ink, strikes = fill(study)
    footprint = store_result(
        study, Recipe(kind="footprint", schema="x/1", inputs={"print": ink.sha256}), {}, at=LATER
    )
    both = {"recording": recording.sha256, "print": ink.sha256}
    pressure = store_result(study, Recipe(kind="pressure", schema="x/1", inputs=both), {}, at=LATER)
    assert (
        set(results(study))
        if False
        else {one.key for one in results(study)}
        == {
            strikes.key,
            footprint.key,
            pressure.key,
        }
    )
    assert results(study, "footprint") == (footprint,)
    assert results(study, of=recording.sha256) == (strikes, pressure)
    assert results(study, "pressure", of=ink.sha256) == (pressure,)


def test_a_lost_picture_comes_back_when_the_result_is_stored_again(study, recipe):
    stored = store_result(study, recipe, BODY, at=AT, files={"trace.png": b"picture"})
    path = study.derived.place(stored.files["trace.png"], "trace.png")
    path.unlink()
    with pytest.raises(StudyError) as caught:
        read_result_file(study, stored, "trace.png")
    assert caught.value.code == "derived-missing"
    store_result(study, recipe, BODY, at=LATER, files={"trace.png": b"picture"})
    assert read_result_file(study, stored, "trace.png") == b"picture"


def test_a_damaged_picture_is_not_handed_out_and_is_made_anew(study, recipe):
    stored = store_result(study, recipe, BODY, at=AT, files={"trace.png": b"picture"})
    path = study.derived.place(stored.files["trace.png"], "trace.png")
    path.chmod(0o644)
    path.write_bytes(b"smudged")
    with pytest.raises(StudyError) as caught:
        read_result_file(study, stored, "trace.png")
    assert caught.value.code == "derived-changed"
    path.chmod(0o444)
    path.unlink()
    store_result(study, recipe, BODY, at=LATER, files={"trace.png": b"picture"})
    assert check(study).findings == ()


def test_an_unknown_file_of_a_result_is_refused_with_those_there_are(study):
    *_, result = fill(study)
    with pytest.raises(WrongUseError) as caught:
        read_result_file(study, result, "map.png")
    assert caught.value.code == "unknown-file"
    assert "trace.png" in caught.value.hint


def test_a_result_of_unknown_originals_is_refused(study):
    with pytest.raises(WrongUseError) as caught:
        store_result(study, RECIPE, BODY, at=AT, files={"trace.png": b"picture"})
    assert caught.value.code == "unknown-original"
    assert results(study) == ()
    assert check(study).findings == ()


def test_settings_that_are_no_json_are_wrong_use_and_no_damage(study):
    with pytest.raises(WrongUseError) as caught:
        find_result(study, replace(RECIPE, settings={"rate": float("inf")}))
    assert caught.value.code == "not-json"
    assert "['settings']['rate']" in caught.value.message


@pytest.mark.parametrize("body", [{"peak": float("nan")}, {"peak": object()}])
def test_a_body_that_is_no_json_is_refused_before_anything_is_written(study, recipe, folder, body):
    with pytest.raises(WrongUseError) as caught:
        store_result(study, recipe, body, at=AT, files={"trace.png": b"picture"})
    assert caught.value.code == "not-json"
    assert list((folder / "derived").iterdir()) == []


def test_a_moment_without_a_zone_is_refused(study, recipe):
    with pytest.raises(WrongUseError) as caught:
        store_result(study, recipe, BODY, at=datetime(2026, 3, 1))  # noqa: DTZ001
    assert caught.value.code == "zone-missing"


@pytest.mark.parametrize(
    "other",
    [
        replace(RECIPE, kind="footprint"),
        replace(RECIPE, schema="tameshi.strikes/2"),
        replace(RECIPE, inputs={"recording": "b" * 64, "rig": "a" * 64}),
        replace(RECIPE, settings={**RECIPE.settings, "channel_class": 600}),
        replace(RECIPE, software="1.2.4"),
    ],
)
def test_whatever_a_result_depends_on_changes_its_key(other):
    assert other.key != RECIPE.key


settings = st.dictionaries(
    st.text(max_size=8), st.integers() | st.floats(-1e9, 1e9) | st.text(max_size=8), max_size=5
)


@given(settings, st.randoms())
def test_the_order_things_are_said_in_does_not_change_a_key(said, random):
    keys = list(said)
    random.shuffle(keys)
    shuffled = {key: said[key] for key in keys}
    inputs = dict(reversed(list(RECIPE.inputs.items())))
    assert replace(RECIPE, settings=shuffled, inputs=inputs).key == replace(RECIPE, settings=said).key


@given(settings, settings)
def test_different_settings_have_different_keys(one, other):
    keys_agree = replace(RECIPE, settings=one).key == replace(RECIPE, settings=other).key
    assert keys_agree == (one == other)


def test_many_results_are_listed_oldest_first(study, recipe):
    def stored(day: int) -> Result:
        return store_result(study, replace(recipe, settings={"n": day}), {}, at=AT + timedelta(days=day))

    made = [stored(day) for day in (3, 1, 2)]
    assert [one.recipe.settings["n"] for one in results(study)] == [1, 2, 3]
    assert len({one.key for one in made}) == 3
