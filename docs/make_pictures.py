"""Take the pictures of the README from the demo's report: ``python docs/make_pictures.py demo-study``."""

from __future__ import annotations

import shutil
import sys
from pathlib import Path

from playwright.sync_api import sync_playwright

PICTURES = Path(__file__).parent / "pictures"
FLAGS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
]


def main() -> None:
    """Open the report in a browser and keep its top, one strike and one print."""
    page_file = (Path(sys.argv[1]) / "report" / "report.html").resolve()
    PICTURES.mkdir(exist_ok=True)
    chromium = shutil.which("chromium")
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=chromium, args=FLAGS)
        page = browser.new_page(viewport={"width": 1200, "height": 1500}, device_scale_factor=1)
        page.goto(page_file.as_uri())
        top = PICTURES / "report-summary.png"
        page.screenshot(path=top, clip={"x": 0, "y": 0, "width": 1200, "height": 1180})
        page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true })")
        curve = page.locator("figure.curve").nth(5)
        curve.screenshot(path=PICTURES / "strike.png")
        page.locator("figure.picture").nth(4).screenshot(path=PICTURES / "print.png")
        browser.close()


if __name__ == "__main__":
    main()
