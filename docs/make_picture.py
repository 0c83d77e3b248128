"""Draw the pictures of the docs: a sample's page and its desk, invented: not for navigation.

Run from the top of the project: ``python docs/make_picture.py``; it needs Chromium and playwright,
as the tests do.
"""

from __future__ import annotations

import re
import shutil
import signal
import subprocess
import sys
import tempfile
from pathlib import Path

from playwright.sync_api import Browser, Page, sync_playwright

import longdry

TOP = Path(__file__).parents[1]
SAMPLE = TOP / "sample_routes" / "saltbush_loop"
PAGE_PICTURE, DESK_PICTURE = TOP / "docs" / "page.png", TOP / "docs" / "desk.png"
SCREEN = {"width": 1280, "height": 800}


def main() -> None:
    """Plan the sample, look at its page and at its desk, and write the pictures."""
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        _draw_page(browser, Path(folder) / "plan.html")
        _draw_desk(browser, Path(folder) / "Long Sand")
        browser.close()


def _draw_page(browser: Browser, page_file: Path) -> None:
    plan = longdry.plan_trip(
        longdry.read_route(SAMPLE / "route.gpx"),
        longdry.read_water([SAMPLE / "water.geojson", SAMPLE / "more_water.csv"]),
        longdry.read_trip(SAMPLE / "trip.toml"),
    )
    longdry.write_page(plan, page_file)
    page = _screen(browser)
    page.goto(page_file.as_uri())
    page.screenshot(path=PAGE_PICTURE)


def _draw_desk(browser: Browser, folder: Path) -> None:
    """Run the desk on a copy of the sample as its user does, once all is worked out."""
    shutil.copytree(SAMPLE, folder)
    words = [sys.executable, "-m", "longdry", "desk", str(folder), "--no-browser"]
    with subprocess.Popen(words, stdout=subprocess.PIPE, text=True) as desk:  # noqa: S603 - our own command
        link = re.search(r"http://\S+", desk.stdout.readline() if desk.stdout else "")
        page = _screen(browser)
        page.goto(link[0] if link else "about:blank")
        page.locator("#more #sheet").wait_for(state="attached", timeout=180_000)
        page.evaluate("document.getElementById('desk-path').hidden = true")
        page.screenshot(path=DESK_PICTURE)
        desk.send_signal(signal.SIGINT)


def _screen(browser: Browser) -> Page:
    return browser.new_page(viewport=SCREEN, color_scheme="light")


if __name__ == "__main__":
    main()
