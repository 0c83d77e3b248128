"""Draw the README's picture: the first screen of a sample's page, invented: not for navigation.

Run from the top of the project: ``python docs/make_picture.py``; it needs Chromium and playwright,
as the tests do.
"""

from __future__ import annotations

import shutil
import tempfile
from pathlib import Path

from playwright.sync_api import sync_playwright

import longdry

TOP = Path(__file__).parents[1]
SAMPLE = TOP / "sample_routes" / "saltbush_loop"
PICTURE = TOP / "docs" / "page.png"
SCREEN = {"width": 1280, "height": 800}


def main() -> None:
    """Plan the sample, open its page, and write the picture."""
    plan = longdry.plan_trip(
        longdry.read_route(SAMPLE / "route.gpx"),
        longdry.read_water([SAMPLE / "water.geojson", SAMPLE / "more_water.csv"]),
        longdry.read_trip(SAMPLE / "trip.toml"),
    )
    with tempfile.TemporaryDirectory() as folder, sync_playwright() as playwright:
        page_file = Path(folder) / "plan.html"
        longdry.write_page(plan, page_file)
        browser = playwright.chromium.launch(
            executable_path=shutil.which("chromium"), args=["--no-sandbox"]
        )
        page = browser.new_page(viewport=SCREEN, color_scheme="light")
        page.goto(page_file.as_uri())
        page.screenshot(path=PICTURE)
        browser.close()


if __name__ == "__main__":
    main()
