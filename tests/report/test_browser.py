"""The page in a real browser: nothing asked of the network, nothing wrong, no sideways scrolling."""

import os
import shutil
from collections.abc import Iterator
from dataclasses import dataclass, field
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

WHERE = ("/usr/bin/chromium", "/usr/bin/chromium-browser", "/usr/bin/google-chrome")
QUIETLY = (
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
)
WIDTHS = {"desktop": (1280, 900), "phone": (390, 844)}


def browser_path() -> str | None:
    found = next((path for path in WHERE if Path(path).exists()), None)
    return found or shutil.which("chromium") or shutil.which("chrome")


NEEDED = bool(os.environ.get("TAMESHI_NEEDS_BROWSER"))
pytestmark = [
    pytest.mark.browser,
    pytest.mark.skipif(
        browser_path() is None and not NEEDED,
        reason="no browser on this machine",
    ),
]


@dataclass
class Seen:
    """A page as the browser has it, and what it asked and said on the way."""

    page: Any
    asked: list[str] = field(default_factory=list)
    said: list[str] = field(default_factory=list)
    folded_height: int = 0


@pytest.fixture(scope="module")
def chromium() -> Iterator[Any]:
    from playwright.sync_api import sync_playwright

    path = browser_path()
    assert path is not None, "TAMESHI_NEEDS_BROWSER is set, and there is no Chromium on this machine"
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=path, args=list(QUIETLY))
        yield browser
        browser.close()


@pytest.fixture(scope="module", params=WIDTHS)
def seen(request, chromium, page, tmp_path_factory) -> Iterator[Seen]:
    file = tmp_path_factory.mktemp("page") / "report.html"
    file.write_text(page, encoding="utf-8")
    width, height = WIDTHS[request.param]
    opened = chromium.new_page(viewport={"width": width, "height": height})
    watched = Seen(opened)
    opened.on("request", lambda one: watched.asked.append(one.url))
    opened.on("console", lambda one: watched.said.append(one.text))
    opened.on("pageerror", lambda one: watched.said.append(str(one)))
    opened.goto(file.as_uri())
    opened.wait_for_load_state("networkidle")
    watched.folded_height = opened.evaluate("document.documentElement.scrollHeight")
    opened.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
    yield watched
    opened.close()


def test_the_browser_asks_nobody_for_anything(seen):
    assert [url for url in seen.asked if not url.startswith(("file:", "data:"))] == []
    assert len([url for url in seen.asked if url.startswith("file:")]) == 1


def test_the_browser_finds_nothing_wrong(seen):
    assert seen.said == []


def test_the_page_does_not_scroll_sideways(seen):
    assert seen.page.evaluate("document.documentElement.scrollWidth <= window.innerWidth")


def test_every_picture_is_there(seen):
    loaded = seen.page.evaluate("[...document.images].map(one => one.complete && one.naturalWidth > 0)")
    assert loaded
    assert all(loaded)


def test_headings_are_in_order(seen):
    headings = "[...document.querySelectorAll('h1,h2,h3,h4,h5,h6')]"
    levels = seen.page.evaluate(f"{headings}.map(one => Number(one.tagName[1]))")
    assert levels[0] == 1
    assert all(after - before <= 1 for before, after in pairwise(levels))


def test_every_drawing_has_a_name_that_is_read_out(seen):
    drawings = seen.page.get_by_role("img")
    count = drawings.count()
    drawn = "[...document.querySelectorAll('svg')]"
    named = seen.page.evaluate(f"{drawn}.every(one => one.getAttribute('aria-label'))")
    assert named
    assert count == seen.page.evaluate("document.querySelectorAll('svg, img').length")


def test_words_in_drawings_can_be_read(seen):
    sizes = seen.page.evaluate(
        "[...document.querySelectorAll('svg text')].map(one => { const turn = one.getScreenCTM();"
        " return Math.hypot(turn.a, turn.b) * parseFloat(getComputedStyle(one).fontSize) })"
    )
    assert min(sizes) > 7.5  # CSS pixels


def test_no_words_of_a_drawing_run_out_of_it(seen):
    out = seen.page.evaluate(
        """[...document.querySelectorAll('svg')].flatMap(drawing => {
            const frame = drawing.getBoundingClientRect();
            return [...drawing.querySelectorAll('text')].filter(one => {
                const box = one.getBoundingClientRect();
                return box.left < frame.left - 1 || box.right > frame.right + 1;
            }).map(one => one.textContent);
        })"""
    )
    assert out == []


def test_the_page_prints(seen):
    assert seen.page.pdf(format="A4").startswith(b"%PDF")


def test_folded_the_page_is_shorter_by_two_fifths(seen):
    assert seen.folded_height < 0.6 * seen.page.evaluate("document.documentElement.scrollHeight")


@pytest.fixture
def closed(chromium, page, tmp_path) -> Iterator[Any]:
    """The page as it opens: everything folded, without script."""
    (tmp_path / "report.html").write_text(page, encoding="utf-8")
    opened = chromium.new_page(viewport={"width": 1280, "height": 900}, java_script_enabled=False)
    opened.goto((tmp_path / "report.html").as_uri())
    yield opened
    opened.close()


def test_a_link_to_a_folded_strike_or_print_opens_it(closed, report):
    measured = next(one for one in report.prints if one.refused is None)
    for anchor in (report.strikes[0].place.anchor, measured.place.anchor):
        place = closed.locator(f"[id='{anchor}']")
        assert not place.is_visible()
        closed.locator(f"main table a[href='#{anchor}']").first.click()
        assert place.is_visible()


def test_what_is_folded_prints_open(closed, report):
    words = pdf_words(closed.pdf(format="A4"))
    folded = [fact.name for used in report.provenance.settings for fact in used.values]
    assert folded
    assert all(name in words for name in folded)
    shown = [one.shown[0] for strike in report.strikes if (one := strike.figure("Rise time")).shown]
    assert shown
    assert all(f"{one.low} to {one.high}" in words for one in shown)


def pdf_words(data: bytes) -> str:
    import pypdfium2

    pages = pypdfium2.PdfDocument(data)
    return " ".join(" ".join(page.get_textpage().get_text_range() for page in pages).split())
