"""The section beside published tolerance: what it holds, what it leaves out, and how it is drawn."""

import re
from pathlib import Path
from xml.etree import ElementTree as ET

import pytest

from tameshi.quantity import Quantity, Source
from tameshi.report import Report
from tameshi.report.drawing import Axis, BesidePublished, Borne, Point, Struck, Words
from tameshi.report.figures import to_svg
from tameshi.report.figures.beside_published import tolerance_picture
from tameshi.report.parts_modelled import TolerancePart
from tameshi.report.tolerance_drawing import drawing_of_rows
from tameshi.report.tolerance_lines import lines_for, not_compared
from tameshi.tolerance import Case, Comparability, Kind, published_values, select, surfaces_of
from tests.report.club import told

SVG = "{http://www.w3.org/2000/svg}"
ROWS = published_values()
CASE = Case(
    label="Palm heel",
    force=Quantity(2400.0, "N", {Source("c", "calibration"): 60.0}),
    area=Quantity(12e-4, "m2", {Source("a", "edge"): 3e-5}),
    pad="none",
    surfaces=surfaces_of("palm heel"),
)


@pytest.fixture
def part(report: Report) -> TolerancePart:
    assert report.tolerance is not None
    return report.tolerance


def drawing(*, struck: tuple[Struck, ...] | None = None) -> BesidePublished:
    strikes = struck or (Struck("Palm heel", Point(2400.0, 2280.0, 2520.0), 2900.0),)
    return BesidePublished(
        words=Words(key="tol", title="Forces", alternative="What it shows.", caption="How to read it."),
        axes=(Axis("peak force", "N", 1.0), Axis("peak force", "lbf", 4.4482216)),
        struck=strikes,
        borne=(
            Borne("palm heel, own wrist: fracture", 487.0, 7081.0, (2142.0,), False),
            Borne("face: fracture", 111.0, 4110.0, (890.0, 1770.0), True),
            Borne("skull: skin injury", 4000.0, 4000.0, (4000.0,), True),
        ),
    )


def test_every_technique_has_its_place_in_every_row(part: TolerancePart) -> None:
    assert part.techniques == ("Hammer fist", "Knee", "Palm heel")
    assert part.rows
    for row in part.rows:
        assert len(row.places) == len(part.techniques)
        assert row.sources
        assert row.values >= 1


def test_own_limbs_come_first_and_only_with_their_technique(part: TolerancePart) -> None:
    own = [row for row in part.rows if row.is_own]
    for kind in {row.kind for row in part.rows}:
        told = [row.is_own for row in part.rows if row.kind == kind]
        assert told == sorted(told, reverse=True)
    places = {
        row.title.split(",")[0]: dict(zip(part.techniques, row.places, strict=True))
        for row in own
        if row.kind == "contact force"
    }
    # of the little finger side there are only limits for machines, which it shares with the palm heel
    assert set(places) == {"palm heel", "knee", "little finger side or palm heel"}
    assert places["palm heel"]["Knee"] == ("", "")
    assert places["knee"]["Knee"][0]
    assert places["palm heel"]["Palm heel"][0]
    assert "No force that breaks the striker's own little finger side (Hammer fist) was found." in part.gaps


def test_the_match_of_area_and_duration_is_counted_for_every_value(part: TolerancePart) -> None:
    for row in part.rows:
        for match, (typical, greatest) in zip(row.matches, row.places, strict=True):
            assert bool(match) == bool(typical or greatest)
            if match:
                area, duration = match.removeprefix("area ").split("; duration ")
                for words in (area, duration):
                    counts = [int(number) for number in re.findall(r" (\d+)", words)]
                    assert not counts or sum(counts) == row.values


def test_only_what_a_plate_measures_is_in_the_table(part: TolerancePart) -> None:
    assert {row.kind for row in part.rows} == {"contact force", "mean pressure", "local pressure"}
    named = {fact.name for fact in part.not_compared}
    assert "internal pressure: not comparable" in named
    assert "bending moment: only with a model" in named
    assert not any(
        "head injury criterion" in name for name in named
    )  # a face is asked for: a model reaches it
    assert all(fact.words.endswith(".") for fact in part.not_compared)


def test_rows_and_what_is_left_out_are_all_there_is() -> None:
    left = sum(one.values for one in not_compared(ROWS))
    one_side = sum(len(line.rows) for line in lines_for([], ROWS))
    own = sum(row.way == "own limb" for row in ROWS)
    assert left + one_side + own == len(ROWS)
    assert {one.comparability for one in not_compared(ROWS)} == {Comparability.MODEL, Comparability.NEVER}


def test_a_clipped_top_is_said_to_be_a_bound(part: TolerancePart) -> None:
    (skull,) = (row for row in part.rows if row.title == "skull: fracture")
    _, greatest = dict(zip(part.techniques, skull.places, strict=True))["Hammer fist"]
    assert greatest == "inside or above"


def test_a_study_on_a_pad_says_what_that_means(page: str, part: TolerancePart) -> None:
    assert not part.unpadded
    assert "Not every plate here is known to have been bare" in page


def test_the_page_has_the_section_with_figures_cautions_and_sources(page: str, part: TolerancePart) -> None:
    section = page[page.index('<h2 id="tolerance">') : page.index('<h2 id="flags">')]
    assert len(part.drawings) == 2
    assert section.count("<svg") == 2 + sum(len(one.drawings) for one in part.modelled)
    for needed in (
        "Commotio cordis",
        "Concussion",
        "no limits to aim for",
        "intact metacarpal",
        "from memory",
    ):
        assert needed in section
    for key in part.sources:
        assert f'id="source-{key}"' in page
    assert not re.search(r"\bsafe|\bdangerous", section, re.IGNORECASE)
    assert 'href="#tolerance"' in page


def test_a_report_without_strikes_has_no_such_section(tmp_path: Path) -> None:
    assert told(tmp_path, []).tolerance is None


def test_limits_for_machines_make_one_line_in_a_report() -> None:
    folded, whole = lines_for([CASE], ROWS, fold=True), lines_for([CASE], ROWS)
    struck = [line for line in folded if not line.surfaces]
    assert sum(line.rows[0].endpoint == "slight injury" for line in struck) == 1
    assert sum(line.rows[0].endpoint == "slight injury" for line in whole) > 9
    assert sum(len(line.rows) for line in folded) == sum(len(line.rows) for line in whole)


def test_kinds_do_not_mix_on_one_scale() -> None:
    for kind in (Kind.CONTACT_FORCE, Kind.LOCAL_PRESSURE):
        rows = select(ROWS, kind=kind)
        shown = drawing_of_rows([CASE], rows)
        assert shown is not None
        assert shown.words.title.lower().startswith(kind.value)
        own_kind = {row.kind for line in lines_for([CASE], rows) for row in line.rows}
        assert own_kind == {kind}
    assert drawing_of_rows([CASE], select(ROWS, kind="internal pressure")) is None


def test_few_values_are_drawn_one_by_one_and_many_together() -> None:
    face = drawing_of_rows([CASE], select(ROWS, region="face", endpoint="fracture"))
    assert face is not None
    assert len(face.borne) == len(select(ROWS, region="face", endpoint="fracture"))
    whole = drawing_of_rows([CASE], ROWS)
    assert whole is not None
    assert len(whole.borne) < 25


def test_without_a_strike_the_ranges_are_drawn_alone() -> None:
    alone = drawing_of_rows([], select(ROWS, region="face", endpoint="fracture"))
    assert alone is not None
    assert alone.struck == ()
    assert "measured" not in to_svg(alone)


def test_the_drawing_is_valid_small_and_the_same_every_time() -> None:
    svg = to_svg(drawing())
    assert svg == to_svg(drawing())
    words = {"".join(text.itertext()) for text in ET.fromstring(svg).iter(f"{SVG}text")}
    assert {"peak force [N]", "peak force [lbf]", "measured", "face: fracture"} <= words
    assert len(svg) < 30_000
    assert tolerance_picture(drawing(), "png").startswith(b"\x89PNG")


def test_a_picture_that_stands_alone_carries_its_caution() -> None:
    root = ET.fromstring(tolerance_picture(drawing(), "svg").decode())
    words = " ".join("".join(text.itertext()) for text in root.iter(f"{SVG}text"))
    assert "How to read it." in words
    assert "may be used on a person" in words


@pytest.mark.parametrize(
    "struck",
    [
        (Struck("bound only", None, 7000.0),),
        (Struck("a band", Point(1e3, 1e3, 8e3, is_bound=True), None),),
        (Struck("reaches below nought", Point(500.0, -300.0, 1300.0), None),),
        (
            Struck(
                "odd \x01\ud800 letters, and a great many of them in one long name", Point(5.0, 4.0, 6.0), 9.0
            ),
        ),
    ],
    ids=["bound", "band", "wide", "letters"],
)
def test_unusual_strikes_can_be_drawn(struck: tuple[Struck, ...]) -> None:
    ET.fromstring(to_svg(drawing(struck=struck)))


def test_own_and_one_sided_ranges_differ_in_more_than_colour() -> None:
    svg = to_svg(drawing())
    assert len(re.findall(r"fill: #c2701e", svg)) == 1
    assert "struck parts, from one side only" in svg
