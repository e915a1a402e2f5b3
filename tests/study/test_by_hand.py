"""What is corrected by hand stays with the study and gives the same again."""

from __future__ import annotations

import math
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from tameshi.demo.photo import as_png
from tameshi.errors import StudyError
from tameshi.footprint import Corrections, Picked, PickedPoint
from tameshi.study import (
    PrintDescription,
    Study,
    add_original,
    describe,
    measure_print,
    new_study,
    open_study,
    prints,
    results,
)
from tests.footprint.scenes import scan_of
from tests.study.samples import AT, LATER, fill

DISCS = ((0.04, 0.04, 0.015), (0.09, 0.09, 0.01))
SMALL = math.pi * 0.01**2
BY_HAND = Corrections(leave_out=((0.04, 0.04),), outline_at=0.45)


def with_print(study: Study, **said: object) -> str:
    """Add an invented scan of two discs and return its hash."""
    content = as_png(scan_of(*DISCS), dpi=200)
    description = PrintDescription(**{"reference": "scan:200", **said})  # type: ignore[arg-type]
    return add_original(
        study, content, name="two.png", kind="print", at=AT, description=description
    ).original.sha256


def area(study: Study) -> float:
    (only,) = prints(study)
    measured = measure_print(study, only, at=LATER)
    assert measured.error is None, measured.error
    return float(measured.body["contact_area"]["value"])


def test_corrections_are_kept_and_used(folder: Path, study: Study) -> None:
    with_print(study, corrections=BY_HAND.as_dict())
    assert area(study) == pytest.approx(SMALL, rel=0.01)
    with open_study(folder) as again:
        (only,) = prints(again)
        assert only.description.corrections == BY_HAND.as_dict()
        kept = measure_print(again, only, at=LATER)
    assert kept.body["corrections"]["leave_out"] == [[0.04, 0.04]]
    assert len(kept.body["corrections"]["said"]) == 2


def test_measured_anew_the_same_corrections_give_the_same(tmp_path: Path, study: Study) -> None:
    with_print(study, corrections=BY_HAND.as_dict())
    with new_study(tmp_path / "other", name="Other") as other:
        with_print(other, corrections=BY_HAND.as_dict())
        assert area(other) == pytest.approx(area(study), rel=1e-9)
        assert [one.key for one in results(other, "footprint")] == [
            one.key for one in results(study, "footprint")
        ]


def test_corrected_and_taken_back(study: Study) -> None:
    sha256 = with_print(study)
    whole = area(study)
    assert describe(study, sha256, PrintDescription(corrections=BY_HAND.as_dict())) == ("corrections",)
    assert area(study) < 0.5 * whole
    assert describe(study, sha256, PrintDescription(technique="jab")) == ("technique",)
    assert area(study) < 0.5 * whole
    assert describe(study, sha256, PrintDescription(corrections={})) == ("corrections",)
    assert area(study) == whole
    assert len(results(study, "footprint")) == 2  # the first result served again


def test_points_are_kept_and_used(study: Study) -> None:
    step = 0.0254 / 200
    corners = ((0.02, 0.02), (0.11, 0.02), (0.11, 0.11), (0.02, 0.11))
    points = tuple(PickedPoint((x / step - 0.5, y / step - 0.5), (x, y)) for x, y in corners)
    with_print(study, reference="points", points=Picked(points=points, within=1.0).as_dict())
    assert area(study) == pytest.approx(SMALL + math.pi * 0.015**2, rel=0.01)


@pytest.mark.parametrize(
    ("said", "code"),
    [
        ({"corrections": {"leave_out": [[0.1, 0.02]]}}, "no-patch-there"),
        ({"corrections": {"eraser": True}}, "wrong-corrections"),
        ({"points": {"points": 3, "within": 1, "placed_within": None}}, "wrong-point"),
        ({"points": {"points": [], "within": 1, "placed_within": None}}, "too-few-points"),
    ],
)
def test_what_does_not_fit_stands_with_its_reason(study: Study, said: dict[str, object], code: str) -> None:
    with_print(study, **said)
    (only,) = prints(study)
    error = measure_print(study, only, at=LATER).error
    assert error is not None
    assert error.code == code


def older(folder: Path) -> None:
    """Take the newer columns away, as an older version left them."""
    with closing(sqlite3.connect(folder / "catalogue.sqlite")) as connection:
        for column in ("points", "corrections", "which"):
            connection.execute(f"ALTER TABLE contact_print DROP COLUMN {column}")
        connection.commit()


def test_an_older_study_is_completed(folder: Path, study: Study) -> None:
    fill(study)
    before = prints(study)
    older(folder)
    with open_study(folder) as again:
        assert prints(again) == before
        corrections = PrintDescription(corrections=BY_HAND.as_dict())
        assert describe(again, before[0].original.sha256, corrections) == ("corrections",)


def test_an_older_study_that_cannot_be_written_says_so(folder: Path, study: Study) -> None:
    fill(study)
    older(folder)
    with pytest.raises(StudyError) as refused:
        open_study(folder, read_only=True)
    assert refused.value.code == "study-older"
    assert refused.value.hint
