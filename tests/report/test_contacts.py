"""Contact area by technique and against force, as a report tells it."""

from __future__ import annotations

import json
from collections.abc import Iterator
from pathlib import Path
from typing import Any
from xml.etree import ElementTree as ET

import numpy as np
import pytest

from tameshi.cli import app
from tameshi.cli.outcome import run
from tameshi.report import Report, make_report, to_html
from tameshi.report.drawing import AreaForce, Axis, Cross, Point, Slope, Words
from tameshi.report.figures import to_svg
from tameshi.report.figures.area_force import round_numbers
from tests.report.club import AT, with_paired_prints

SVG = "{http://www.w3.org/2000/svg}"


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    made = tmp_path_factory.mktemp("law") / "study"
    with with_paired_prints(made):
        pass
    return made


@pytest.fixture(scope="module")
def paired(folder: Path) -> Iterator[Report]:
    from tameshi.study import open_study

    with open_study(folder) as study:
        yield make_report(study, at=AT)


def test_six_paired_prints_give_a_law_in_the_report(paired: Report) -> None:
    (part,) = paired.contacts
    (law,) = part.laws
    assert part.name == "Palm heel, K1"
    assert law.drawing is not None
    assert len(law.pairs) == 6
    assert {one.name for one in law.laws if one.is_inside} >= {"thin layer"}
    assert "rigid flat (0)" in law.words


def test_summary_and_section_give_one_mean_area(report: Report, paired: Report) -> None:
    for told in (report, paired):
        means = {part.name.partition(",")[0]: part.mean for part in told.contacts}
        shown = {part.name: part.contact_area for part in told.summary.techniques if part.contact_area}
        both = means.keys() & shown.keys()
        assert both
        for name in both:
            assert str(shown[name]) == str(means[name])
            assert shown[name].shown == means[name].shown


def test_the_page_shows_figure_table_and_words(paired: Report) -> None:
    page = to_html(paired)
    assert 'id="contacts"' in page
    assert "Simple laws of contact beside the prints" in page
    assert "grows with peak force to the power" in page
    assert "[york]" in page
    assert "Contact area against peak force, palm heel" in page


def test_without_enough_pairs_the_reason_stands_in_its_place(report: Report) -> None:
    laws = [law for part in report.contacts for law in part.laws]
    assert laws
    assert all(law.drawing is None for law in laws)
    assert all("No law of area against force can be given" in law.words for law in laws)
    assert {part.name for part in report.contacts} >= {"Palm heel, K1"}


def test_the_command_gives_what_the_report_gives(
    folder: Path, paired: Report, capsys: pytest.CaptureFixture[str]
) -> None:
    assert run(app, ["pressure", str(folder), "--json"]) == 0
    found: dict[str, Any] = json.loads(capsys.readouterr().out)
    assert found["schema"] == "tameshi.contact/1"
    (contact,) = found["contacts"]
    law = contact["against_force"][0]["law"]
    assert law["exponent"]["low"] < 0.5 < law["exponent"]["high"]
    assert law["words"] == paired.contacts[0].laws[0].words
    assert [pair["strike"] for pair in contact["against_force"][0]["pairs"]] == [1, 2, 3, 4, 5, 6]
    assert contact["repeats"]["count"] == 6


def test_the_command_tells_a_person(folder: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert run(app, ["pressure", str(folder)]) == 0
    out = capsys.readouterr().out
    assert "to the power n =" in out
    assert "mean contact area" in out


def drawing(*slopes: Slope) -> AreaForce:
    force = np.geomspace(900.0, 4500.0, 21)
    area = 12e-4 * (force / 2000.0) ** 0.5
    points = tuple(
        Cross(Point(f, 0.95 * f, 1.05 * f), Point(a, 0.97 * a, 1.03 * a))
        for f, a in zip(force[2::3].tolist(), area[2::3].tolist(), strict=True)
    )
    return AreaForce(
        words=Words(key="law", title="Area", alternative="What it shows.", caption="How to read it."),
        across=(Axis("peak force", "kN", 1e3), Axis("peak force", "lbf", 4.4482216)),
        up=(Axis("contact area", "cm²", 1e-4), Axis("contact area", "in²", 6.4516e-4)),
        points=points,
        force=force,
        area=area,
        low=0.9 * area,
        high=1.1 * area,
        slopes=slopes,
    )


def test_the_drawing_is_valid_and_the_same_every_time() -> None:
    shown = drawing(Slope("sphere on flat (2/3)", 2 / 3, True), Slope("rigid flat (0)", 0.0, False))
    svg = to_svg(shown)
    assert svg == to_svg(shown)
    words = {"".join(text.itertext()) for text in ET.fromstring(svg).iter(f"{SVG}text")}
    assert {"fit with its 95 % band", "sphere on flat (2/3)", "rigid flat (0)"} <= words
    assert {"peak force [kN]", "peak force [lbf]", "contact area [cm²]", "contact area [in²]"} <= words
    assert len(svg) < 40_000


@pytest.mark.parametrize(("low", "high"), [(0.9, 4.2), (1180.0, 1510.0), (3.0, 3.9), (0.02, 900.0)])
def test_scales_have_a_few_round_numbers(low: float, high: float) -> None:
    ticks = round_numbers(low, high)
    assert 2 <= len(ticks) <= 6
    assert all(low <= tick <= high for tick in ticks)
