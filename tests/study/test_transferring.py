"""Strikes of a study taken over to body parts: stored by recipe, and offered to published values by kind."""

from datetime import UTC, datetime, timedelta

import pytest

from tameshi.reference import row
from tameshi.study import (
    Measurement,
    Recording,
    RecordingDescription,
    Study,
    TransferQuestion,
    add_original,
    cautions_onto,
    measure_recording,
    modelled_of,
    recordings,
    results,
    transfer_recording,
)
from tameshi.target.transfer import Range, Transfer, part_names, transfer_as_dict
from tameshi.tolerance import Kind, published_values
from tests.readers.files import CSV

AT = datetime(2026, 3, 1, 12, 0, tzinfo=UTC)
FACE = TransferQuestion(part="face", mass=Range(2.0, 3.0), pad="none")


@pytest.fixture
def struck(study: Study) -> tuple[Study, Recording, Measurement]:
    said = RecordingDescription(technique="palm heel")
    add_original(study, CSV, name="strike.csv", kind="recording", at=AT, description=said)
    (recording,) = recordings(study)
    return study, recording, measure_recording(study, recording, at=AT)


def taken(struck: tuple[Study, Recording, Measurement], question: TransferQuestion) -> Transfer:
    study, recording, outcome = struck
    (one,) = transfer_recording(study, recording, outcome, question, at=AT)
    assert one.found is not None, one.error
    return one.found


def test_a_transfer_is_made_once_and_read_back(struck):
    study, recording, outcome = struck
    found = taken(struck, FACE)
    (kept,) = results(study, "transfer")
    assert kept.recipe.schema == "tameshi.transfer/1"
    assert kept.recipe.inputs == {"recording": recording.original.sha256}
    assert kept.recipe.settings["question"]["mass_low"] == 2.0
    (again,) = transfer_recording(study, recording, outcome, FACE, at=AT + timedelta(days=1))
    assert again.found is not None
    assert transfer_as_dict(again.found) == transfer_as_dict(found)
    assert len(results(study, "transfer")) == 1


def test_another_question_is_another_result_and_the_old_one_stays(struck):
    taken(struck, FACE)
    taken(struck, TransferQuestion(part="face", mass=Range(2.0, 3.5), pad="none"))
    taken(struck, TransferQuestion(part="chest", mass=Range(2.0, 3.0), pad="none"))
    assert len(results(struck[0], "transfer")) == 3


def test_asking_of_one_technique_or_of_all_is_the_same_work(struck):
    taken(struck, FACE)
    taken(struck, TransferQuestion(part="face", technique="palm heel", mass=Range(2.0, 3.0), pad="none"))
    assert len(results(struck[0], "transfer")) == 1


def test_only_the_strikes_that_are_wanted(struck):
    study, recording, outcome = struck
    assert transfer_recording(study, recording, outcome, FACE, at=AT, only=(7,)) == ()


def test_a_head_offers_each_of_its_measures_by_its_own_kind(struck):
    found = {one.kind: one for one in modelled_of(taken(struck, FACE))}
    heads = {kind for kind in Kind if kind.startswith("head ")}
    assert set(found) == {Kind.CONTACT_FORCE, *heads}
    assert {one.regions for kind, one in found.items() if kind in heads} == {("brain",)}
    assert found[Kind.CONTACT_FORCE].regions == ("face",)
    either, short, long = (
        found[kind]
        for kind in (
            Kind.HEAD_INJURY_CRITERION,
            Kind.HEAD_INJURY_CRITERION_15,
            Kind.HEAD_INJURY_CRITERION_36,
        )
    )
    # a source that leaves the window open is met by both: from one over 15 ms to one over 36
    assert either.most is not None
    assert (either.least.low, either.most.high) == (short.least.low, long.least.high)
    assert either.reading.is_band
    assert not short.reading.is_band
    assert all("onto the face" in one.model and one.assumptions for one in found.values())


def test_a_chest_offers_a_force_only(struck):
    question = TransferQuestion(part="chest", mass=Range(2.0, 3.0), pad="none")
    (only,) = modelled_of(taken(struck, question))
    assert (only.kind, only.regions) == (Kind.CONTACT_FORCE, ("chest",))


def test_an_unknown_pad_leaves_a_lower_bound(struck):
    found = {
        one.kind: one
        for one in modelled_of(taken(struck, TransferQuestion(part="face", mass=Range(2.0, 3.0))))
    }
    assert found[Kind.CONTACT_FORCE].most is None
    assert found[Kind.HEAD_INJURY_CRITERION_15].reading.at_least is not None
    assert Kind.HEAD_HELD_ACCELERATION not in found  # a harder contact is higher and shorter at once
    assert any("pad" in doubt for doubt in found[Kind.CONTACT_FORCE].doubts)


def test_an_unknown_striker_leaves_two_limits(struck):
    found = {one.kind: one for one in modelled_of(taken(struck, TransferQuestion(part="face", pad="none")))}
    assert "palm" in " ".join(found[Kind.CONTACT_FORCE].assumptions)  # published strikes of its technique
    unknown = TransferQuestion(part="face", pad="none", like="kick")
    limits = {one.kind: one for one in modelled_of(taken(struck, unknown))}
    assert limits[Kind.CONTACT_FORCE].reading.is_band
    assert limits[Kind.CONTACT_FORCE].least.low == limits[Kind.CONTACT_FORCE].least.high
    assert Kind.HEAD_SEVERITY_INDEX not in limits


@pytest.mark.parametrize("part", part_names())
def test_every_part_has_its_regions_and_cautions(part):
    regions = {one.region for one in published_values()}

    assert set(row("transfer_regions", part)["regions"]) <= regions
    assert {one.key for one in cautions_onto([part])} >= {"modelled", "no-verdict"}


def test_cautions_go_with_the_part():
    assert "heart" in {one.key for one in cautions_onto(["chest"])}
    assert {"head", "head-modelled"} <= {one.key for one in cautions_onto(["temple"])}
    assert "neck" in {one.key for one in cautions_onto(["throat"])}
    assert not {"heart", "head", "neck"} & {one.key for one in cautions_onto(["thigh"])}
