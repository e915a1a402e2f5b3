"""Strikes carried over to parts of the body: the section, its drawing, and the values that need a model."""

import re
from collections.abc import Iterator
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tameshi.demo.pulses import half_sine, skewed, together
from tameshi.report import Report, make_report, to_html
from tameshi.report.figures import to_svg
from tameshi.report.parts_modelled import ModelledPart, TransferPart
from tameshi.study import Study, TransferQuestion, keep_question, results
from tameshi.target.transfer import Range
from tests.report.club import AT, RIG, add, as_csv, empty, recording_of, volts

SVG = "{http://www.w3.org/2000/svg}"
BARE = RIG.replace('pad = "felt, 6 mm"', 'pad = "none"')


@pytest.fixture(scope="module")
def club(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Study]:
    """A palm heel of 12 ms, a push of 40 ms and a fist through felt; asked onto face and chest."""
    with empty(tmp_path_factory.mktemp("transfers") / "study") as study:
        bare = add(study, BARE.encode(), "bare.toml", "rig")
        felt = add(study, RIG.encode(), "felt.toml", "rig")
        palm = as_csv(volts(together([skewed(2300.0, 0.012, 0.3), skewed(2600.0, 0.011, 0.8)])))
        add(study, palm, "palm.csv", "recording", recording_of("palm heel", bare))
        push = as_csv(volts(half_sine(1800.0, 0.04, 0.3), seed=3))
        add(study, push, "push.csv", "recording", recording_of("push kick", bare))
        fist = as_csv(volts(half_sine(3100.0, 0.006, 0.3), seed=2))
        add(study, fist, "fist.csv", "recording", recording_of("hammer fist", felt))
        keep_question(study, TransferQuestion(part="face", technique="palm heel", mass=Range(1.5, 2.5)))
        keep_question(study, TransferQuestion(part="chest", speed=Range(6.0, 7.0)))
        keep_question(study, TransferQuestion(part="chest", technique="palm heel", mass=Range(1.5, 2.5)))
        yield study


@pytest.fixture(scope="module")
def report(club: Study) -> Report:
    return make_report(club, at=AT)


@pytest.fixture(scope="module")
def page(report: Report) -> str:
    return to_html(report)


def onto(report: Report, words: str) -> TransferPart:
    (found,) = (one for one in report.transfers if one.place.words == words)
    return found


def modelled(report: Report, part: str) -> ModelledPart:
    assert report.tolerance is not None
    (found,) = (one for one in report.tolerance.modelled if one.model.endswith(part))
    return found


def cell(part: TransferPart, name: str, column: int) -> str:
    (row,) = (one for one in part.rows if one.name == name)
    return row.cells[column][0]


def test_every_question_has_its_part_with_each_technique_it_is_about(report: Report) -> None:
    assert [one.place.words for one in report.transfers] == ["Onto the chest", "Onto the face"]
    assert [label for label, _ in onto(report, "Onto the face").columns] == [
        "Palm heel, typical",
        "Palm heel, greatest",
    ]
    assert len(onto(report, "Onto the chest").columns) == 4


def test_one_about_a_technique_goes_before_one_about_all(report: Report) -> None:
    told = " ".join(onto(report, "Onto the chest").assumptions)
    assert "an effective mass of 1.5 to 2.5 kg" in told
    assert "6 to 7 m/s at contact" in told


def test_measured_and_modelled_figures_are_kept_apart(report: Report) -> None:
    part = onto(report, "Onto the face")
    assert {row.name for row in part.rows if row.is_measured} == {
        "Peak force on the plate",
        "Impulse on the plate",
    }
    assert re.fullmatch(r"\d+(\.\d+)? N \(.* N to .* N\)", cell(part, "Peak force", 0))
    assert cell(part, "HIC15", 0) != cell(part, "HIC15", 1)
    assert cell(part, "Acceleration held for 3 ms", 0).endswith("g)")
    assert not any(row.name.startswith("HIC") for row in onto(report, "Onto the chest").rows)


def test_a_pad_of_unknown_stiffness_leaves_lower_bounds(report: Report) -> None:
    part = onto(report, "Onto the chest")
    column = [label.split(",")[0] for label, _ in part.columns].index("Hammer fist")
    assert cell(part, "Peak force", column).startswith("at least")
    assert "pad-unknown" in {remark.code for remark in part.remarks}


def test_the_drawing_holds_plate_band_and_limits(report: Report) -> None:
    drawing = onto(report, "Onto the chest").drawing
    assert drawing is not None
    assert len(drawing.rows) == 4
    for row in drawing.rows:
        low, high = row.limits
        assert row.band is not None
        assert low <= row.band.low
        assert high is None or (row.band.high <= 1.01 * high and row.measured.value <= high)
    root = ET.fromstring(to_svg(drawing))
    assert root.tag == f"{SVG}svg"
    assert drawing.words.alternative.startswith("Measured peak forces")


def test_values_that_need_a_model_are_told_with_their_probability(report: Report) -> None:
    part = modelled(report, "onto the face")
    kinds = {one.kind for one in part.kinds}
    assert {"head injury criterion over 15 ms", "head injury criterion over 36 ms", "head severity index",
            "head acceleration held for 3 ms", "head peak acceleration"} <= kinds  # fmt: skip
    assert "contact force" not in kinds  # the face has none that needs a model
    told = [
        place for kind in part.kinds for row in kind.rows for both in row.places for place in both if place
    ]
    assert told
    assert all("%" in place or "not told apart" in place for place in told)
    assert {drawing.modelled for drawing in part.drawings} == {True}


def test_a_push_is_set_beside_nothing_and_says_why(report: Report) -> None:
    part = modelled(report, "onto the chest")
    assert any(words.startswith("Push kick") and "muscles push" in words for words in part.refused)
    assert "Push kick" not in " ".join(part.techniques)


def test_what_a_model_reaches_is_no_longer_left_out(report: Report) -> None:
    assert report.tolerance is not None
    named = " ".join(fact.name for fact in report.tolerance.not_compared)
    assert "head severity index" not in named
    assert "bending moment: only with a model" in named


def test_the_page_has_the_section_with_its_cautions_and_sources(page: str, report: Report) -> None:
    section = page[page.index('<h2 id="transfer">') : page.index('<h2 id="tolerance">')]
    for needed in (
        "Modelled, not measured.",
        "No band here says what a body bears.",
        "can stop a heart",
        "hurt without any fracture",
        "without neck and without rotation",
        "What the model takes for granted",
        "Long pushes are outside it.",
    ):
        assert needed in section
    assert section.count("<svg") == 2
    for part in report.transfers:
        for key in part.sources:
            assert f'id="source-{key}"' in page
        for _, link in part.columns:
            assert f'id="{link.anchor}"' in page
    assert 'href="#transfer"' in page
    assert not re.search(r"\bsafe|\bharmless", section, re.IGNORECASE)


def test_what_was_carried_over_is_stored(club: Study, report: Report) -> None:
    assert report.transfers
    kept = {(one.body["onto"]["part"], one.body["strike"]) for one in results(club, "transfer")}
    assert ("face", 1) in kept
    again = make_report(club, at=AT)
    assert to_html(again) == to_html(report)


def test_without_a_question_there_is_no_section(tmp_path: Path) -> None:
    with empty(tmp_path / "study") as study:
        page = to_html(make_report(study, at=AT))
    assert 'id="transfer"' not in page
