"""A print corrected by hand says so in the report: what, the area before and after, the lines."""

from pathlib import Path
from typing import Any

import pytest

from tameshi.demo.photo import as_png
from tameshi.footprint import Corrections
from tameshi.report import Report, export_tables, make_report, to_html
from tameshi.report.parts import PrintPart
from tameshi.study import PrintDescription
from tests.footprint.scenes import scan_of
from tests.report.club import AT, add, empty

DISCS = ((0.04, 0.04, 0.015), (0.09, 0.09, 0.01))
LASSO = ((0.02, 0.02), (0.06, 0.02), (0.06, 0.06), (0.02, 0.06))
BY_HAND = Corrections(leave_out=((0.09, 0.09),), lassos=(LASSO,), outline_at=0.45)
WORDS = (
    "1 patch left out (at x = 90.0 mm y = 90.0 mm)",
    "1 lasso of 4 corners",
    "45 % of the way from paper to ink",
)


REFUSED: dict[str, dict[str, Any]] = {
    "nowhere.png": {"leave_out": [[0.1, 0.02]]},
    "damaged.png": {"eraser": 1},
}


@pytest.fixture(scope="module")
def corrected(tmp_path_factory: pytest.TempPathFactory) -> tuple[Report, str]:
    folder: Path = tmp_path_factory.mktemp("by-hand") / "study"
    picture = as_png(scan_of(*DISCS), dpi=200)
    said = PrintDescription(technique="palm heel", reference="scan:200", corrections=BY_HAND.as_dict())
    with empty(folder) as study:
        add(study, picture, "corrected.png", "print", said)
        add(
            study,
            as_png(scan_of(*DISCS[:1]), dpi=200),
            "plain.png",
            "print",
            PrintDescription(technique="jab"),
        )
        for n, (name, corrections) in enumerate(REFUSED.items()):
            said = PrintDescription(technique="jab", reference="scan:200", corrections=corrections)
            add(study, as_png(scan_of((0.05, 0.05, 0.01 + 0.001 * n)), dpi=200), name, "print", said)
        tables = {table.name: table for table in export_tables(study, at=AT)}
        names = [column.name for column in tables["prints"].columns]
        cells = [dict(zip(names, row, strict=True)) for row in tables["prints"].rows]
        rows = {str(row["print"]): str(row["by_hand"]) for row in cells}
        assert all(words in rows["corrected.png"] for words in WORDS)
        assert rows["plain.png"] == ""
        report = make_report(study, at=AT)
    return report, to_html(report)


def part_of(corrected: tuple[Report, str], name: str) -> PrintPart:
    return next(part for part in corrected[0].prints if part.place.words == name)


def test_corrections_stand_among_the_facts_of_their_print_only(corrected: tuple[Report, str]) -> None:
    facts = {fact.name: fact.words for fact in part_of(corrected, "corrected.png").facts}
    assert all(words in facts["Corrected by hand"] for words in WORDS)
    assert "Corrected by hand" not in {fact.name for fact in part_of(corrected, "plain.png").facts}


def test_the_area_before_and_after_and_the_lines_are_told(corrected: tuple[Report, str]) -> None:
    part, plain = part_of(corrected, "corrected.png"), part_of(corrected, "plain.png")
    remark = next(one for one in part.remarks if "by hand" in str(one))
    assert "10.2" in str(remark)
    assert part.picture is not None
    assert "left out by hand; dashed: the lasso." in part.picture.caption
    assert plain.picture is not None
    assert "lasso" not in plain.picture.caption


def test_the_page_shows_them(corrected: tuple[Report, str]) -> None:
    page = corrected[1]
    assert all(words in page for words in WORDS)
    assert "outline moved by hand" in page.lower()


def test_corrections_that_were_refused_are_told_with_the_reason(corrected: tuple[Report, str]) -> None:
    nowhere, damaged = part_of(corrected, "nowhere.png"), part_of(corrected, "damaged.png")
    facts = {fact.name: fact.words for fact in nowhere.facts}
    assert facts["Corrections asked for"] == "1 patch left out (at x = 100.0 mm y = 20.0 mm)"
    assert "There is no patch at" in str(nowhere.refused)
    assert "Corrections asked for" not in {fact.name for fact in damaged.facts}
    assert "cannot be read" in str(damaged.refused)
