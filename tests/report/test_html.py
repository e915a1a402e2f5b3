"""The page: whole in itself, closed to what comes from outside, ordered, and the same every time."""

import base64
import io
import re
from dataclasses import replace
from datetime import timedelta, timezone
from itertools import pairwise

import pytest
from PIL import Image

from tameshi.demo.prints import palm_heel
from tameshi.demo.pulses import half_sine
from tameshi.report import make_report, to_html
from tameshi.report.notation import notation_for
from tameshi.study import PrintDescription, RecordingDescription
from tests.report.club import AT, add, as_csv, empty, filled, scan, volts
from tests.report.reading import read

HOSTILE = "<script>alert(1)</script>"
ENTITIES = "\"'><img src=x onerror=alert(2)>&{{7*7}}${7*7}"
LOADING = {"src", "href", "srcset", "action", "data", "poster", "background", "xlink:href"}


@pytest.fixture(scope="module")
def tree(page):
    return read(page)


def test_nothing_is_loaded_from_outside(tree):
    for element in tree.all():
        for name, value in element.attributes.items():
            if name in LOADING:
                assert value.startswith(("#", "data:")), (element.tag, name, value[:60])
    assert "url(" not in re.sub(r"url\(#", "", tree_styles(tree))


def tree_styles(tree) -> str:
    return " ".join(one.text for one in tree.all("style")) + " ".join(
        one.attributes.get("style", "") for one in tree.all()
    )


def test_no_address_of_another_place_is_in_the_page(page):
    assert set(re.findall(r"https?://[^\"'\s<]+", page)) <= {"http://www.w3.org/2000/svg"}


def test_the_page_forbids_itself_to_load_and_to_run(tree):
    rule = next(
        one.attributes["content"]
        for one in tree.all("meta")
        if one.attributes.get("http-equiv") == "Content-Security-Policy"
    )
    assert "default-src 'none'" in rule
    assert "script-src" not in rule
    assert tree.all("script", "iframe", "object", "embed", "form", "base") == []


def test_the_page_is_the_same_every_time(tmp_path):
    with filled(tmp_path / "study") as study:
        first = to_html(make_report(study, at=AT))
        from_store = to_html(make_report(study, at=AT))
        elsewhere = to_html(make_report(study, at=AT.astimezone(timezone(timedelta(hours=9)))))
    assert first == from_store == elsewhere


def test_the_date_shown_is_the_one_given(page):
    assert "3 May 2026, 18:00 UTC" in page


def test_headings_are_in_order_and_start_with_one_title(tree):
    levels = [int(one.tag[1]) for one in tree.all("h1", "h2", "h3", "h4", "h5", "h6")]
    assert levels.count(1) == 1
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_the_page_has_a_language_landmarks_and_a_way_past_the_contents(tree):
    assert tree.all("html")[0].attributes["lang"] == "en"
    for landmark in ("header", "nav", "main", "footer"):
        assert len(tree.all(landmark)) == 1
    skip = tree.all("a")[0]
    assert skip.attributes["href"] == f"#{tree.all('main')[0].attributes['id']}"


def test_every_name_is_given_once_and_every_link_leads_somewhere(tree):
    names = [one.attributes["id"] for one in tree.all() if "id" in one.attributes]
    assert len(names) == len(set(names))
    links = {one.attributes["href"][1:] for one in tree.all("a", "use") if "href" in one.attributes}
    labels = {one.attributes["aria-labelledby"] for one in tree.all() if "aria-labelledby" in one.attributes}
    assert links | labels <= set(names)


def test_every_picture_and_drawing_has_words_and_a_caption(tree, report):
    figures = tree.all("figure")
    for figure in figures:
        assert figure.all("figcaption")[0].text.strip()
        for image in figure.all("img"):
            assert image.attributes["alt"]
        for drawing in figure.all("svg"):
            assert drawing.attributes["role"] == "img"
            assert drawing.attributes["aria-label"]
    assert len(tree.all("img")) == 4
    drawn = sum((one.curve is not None) + (one.budget is not None) for one in report.strikes)
    assert report.tolerance is not None
    against = report.comparison
    assert against is not None
    compared = sum(one.drawing is not None for one in against.compared) + len(against.timelines)
    compared += against.plane is not None
    by_model = sum(len(one.drawings) for one in report.tolerance.modelled) + len(report.transfers)
    assert by_model > 0
    others = by_model + compared
    assert len(tree.all("svg")) == drawn + 4 + 2 + len(report.tolerance.drawings) + others


def test_pictures_are_whole_inside_the_page(tree):
    for image in tree.all("img"):
        kind, data = image.attributes["src"].split(",", 1)
        assert kind == "data:image/jpeg;base64"
        with Image.open(io.BytesIO(base64.b64decode(data))) as opened:
            opened.load()
            assert opened.size == (int(image.attributes["width"]), int(image.attributes["height"]))


def test_every_table_has_a_caption_heads_and_whole_rows(tree):
    for table in tree.all("table"):
        assert table.all("caption")[0].text.strip()
        assert all(one.attributes.get("scope") for one in table.all("th"))
        widths = {sum(span(cell) for cell in line.children) for line in table.all("tr")}
        assert len(widths) == 1, (table.all("caption")[0].text, widths)


def span(cell) -> int:
    return int(cell.attributes.get("colspan", "1"))


def test_wide_tables_scroll_in_a_box_that_keys_can_reach(tree):
    boxes = [one for one in tree.all("div") if one.attributes.get("class") == "scroll"]
    assert sum(len(box.all("table")) for box in boxes) == len(tree.all("table"))
    assert all(box.attributes["tabindex"] == "0" and box.attributes["aria-label"] for box in boxes)


def test_figures_stand_in_the_page_as_they_were_worded(tree, report):
    words = " ".join(tree.text.split())
    for strike in report.strikes:
        for named in strike.figures:
            for shown in named.entry.shown:
                assert f"{shown.low} to {shown.high}" in words
            if named.entry.why:
                assert named.entry.why in words


def test_what_could_not_be_measured_is_told_in_its_place_with_what_to_do(tree, report):
    for one in report.summary.refused:
        section = next(
            part
            for part in tree.all("section")
            if part.attributes.get("aria-labelledby") in (one.place.anchor, f"{one.place.anchor}-title")
        )
        assert one.message in section.text
        assert one.hint in section.text


def test_every_flag_is_explained(tree, report):
    for flag in report.flags:
        place = next(one for one in tree.all() if one.attributes.get("id") == f"flag-{flag.code}")
        assert flag.advice in place.text


def test_no_word_of_the_page_is_a_verdict(tree):
    words = " ".join(one.text for one in tree.all("body"))
    assert not re.search(r"\bsafe|\bharmless\b", words, re.IGNORECASE)


def test_cautions_stand_before_the_strikes(page):
    assert 0 < page.index('id="cautions"') < page.index('id="strikes"')


def test_si_or_us_stands_first_as_the_study_says(report, page):
    assert page.index(">SI<") < page.index(">US customary<")
    turned = to_html(replace(report, notation=notation_for("us", [])))
    assert turned.index(">US customary<") < turned.index(">SI<")


def test_a_study_in_us_units_is_a_whole_page(tmp_path):
    with empty(tmp_path / "study", units="us") as study:
        data = as_csv(volts(half_sine(3000.0, 0.008, 0.4)))
        add(study, data, "a.csv", "recording", RecordingDescription(technique="knee", force_scale="4 kN/V"))
        page = to_html(make_report(study, at=AT))
    table = read(page).all("table")[0].text
    assert table.index("lbf") < table.index("[N]")
    assert "lb (" in page


@pytest.fixture(scope="module")
def hostile(tmp_path_factory):
    folder = tmp_path_factory.mktemp("hostile") / "study"
    with empty(folder, name=f"{HOSTILE} {ENTITIES}"[:110]) as study:
        said = RecordingDescription(
            technique=HOSTILE,
            session=ENTITIES,
            side="left",
            note=f"{HOSTILE}\n{ENTITIES}",
            channel=None,
            force_scale="4 kN/V",
        )
        strike = as_csv(volts(half_sine(3000.0, 0.008, 0.4)), name=HOSTILE.replace(",", ""))
        palm = add(study, strike, f"{ENTITIES}.csv", "recording", said)
        add(study, b"<svg onload=alert(3)>", f"{HOSTILE}.png", "print", PrintDescription(technique=ENTITIES))
        own = PrintDescription(technique=HOSTILE, recording=palm.sha256, strike=1, note=HOSTILE)
        add(study, scan(palm_heel), f"{HOSTILE}{ENTITIES}.png", "print", own)
        return to_html(make_report(study, at=AT))


def test_nothing_from_outside_becomes_part_of_the_page(hostile):
    tree = read(hostile)
    assert tree.all("script") == []
    handlers = [name for one in tree.all() for name in one.attributes if name.startswith("on")]
    assert handlers == []
    assert all(one.attributes["src"].startswith("data:image/jpeg") for one in tree.all("img"))
    assert "<script" not in hostile


def test_what_came_from_outside_is_shown_as_it_came(hostile):
    words = " ".join(read(hostile).text.split())
    assert "<script>alert(1)" in words
    assert "{{7*7}}${7*7}" in words
    assert "onerror=alert(2)" in words
