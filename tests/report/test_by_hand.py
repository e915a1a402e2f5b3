"""A print corrected by hand says so in the report: what, the area before and after, the lines."""

from pathlib import Path

import pytest

from tameshi.demo.photo import as_png
from tameshi.footprint import Corrections
from tameshi.report import Report, export_tables, make_report, to_html
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
        tables = {table.name: table for table in export_tables(study, at=AT)}
        names = [column.name for column in tables["prints"].columns]
        cells = [dict(zip(names, row, strict=True)) for row in tables["prints"].rows]
        rows = {str(row["print"]): str(row["by_hand"]) for row in cells}
        assert all(words in rows["corrected.png"] for words in WORDS)
        assert rows["plain.png"] == ""
        report = make_report(study, at=AT)
    return report, to_html(report)


def test_corrections_stand_among_the_facts_of_their_print_only(corrected: tuple[Report, str]) -> None:
    facts = [{fact.name: fact.words for fact in part.facts} for part in corrected[0].prints]
    assert all(words in facts[0]["Corrected by hand"] for words in WORDS)
    assert "Corrected by hand" not in facts[1]


def test_the_area_before_and_after_and_the_lines_are_told(corrected: tuple[Report, str]) -> None:
    part, plain = corrected[0].prints
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
