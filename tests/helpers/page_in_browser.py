"""Opens pages in headless Chromium; every request is counted, all but the page is barred."""

from __future__ import annotations

import os
import shutil
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from importlib import resources
from pathlib import Path

from patience import BROWSER_WAIT_S
from playwright.sync_api import Browser, Page, Route, expect, sync_playwright

AXE_TAGS = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"]
BROWSER_WAIT_MS = BROWSER_WAIT_S * 1000.0
expect.set_options(timeout=BROWSER_WAIT_MS)
ARGUMENTS = [
    "--no-sandbox",
    "--disable-gpu",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--no-first-run",
]


@dataclass
class Watched:
    """A page with what it did."""

    page: Page
    requests: list[str] = field(default_factory=list)
    """Every request but the page itself and data inside it."""
    messages: list[str] = field(default_factory=list)
    """Console messages, uncaught errors and dialogs."""


def chromium() -> str | None:
    """Find Chromium."""
    return os.environ.get("LONGDRY_CHROMIUM") or shutil.which("chromium")


@contextmanager
def running_chromium() -> Iterator[Browser]:
    """Start Chromium once, with the one window in which all pages are opened, and end it."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path=chromium(), args=ARGUMENTS, timeout=BROWSER_WAIT_MS
        )
        browser.new_context().new_page()
        yield browser
        browser.close()


@contextmanager
def opened(
    browser: Browser,
    file: Path,
    *,
    width: int = 1280,
    height: int = 900,
    dark: bool = False,
    touch: bool = False,
    own_colours: bool = False,
) -> Iterator[Watched]:
    """Open a page from its file, anew; a window of its own would take as long as the page.

    By touch the pointer is coarse, as a finger is: that takes a window of its own.
    """
    own = file.as_uri()
    look = Look(width, height, dark, touch, own_colours)
    with opened_at(browser, own, lambda url: url.split("#")[0] == own, look) as watched:
        yield watched


@dataclass(frozen=True)
class Look:
    """How a page is looked at."""

    width: int = 1280
    height: int = 900
    dark: bool = False
    touch: bool = False
    own_colours: bool = False


@contextmanager
def opened_at(
    browser: Browser, address: str, is_own: Callable[[str], bool], look: Look
) -> Iterator[Watched]:
    """Open a page from its address; every request that is not its own is barred and counted."""
    context = browser.new_context(has_touch=True, is_mobile=True) if look.touch else None
    page = context.new_page() if context else browser.contexts[0].pages[0]
    page.set_default_timeout(BROWSER_WAIT_MS)
    page.set_viewport_size({"width": look.width, "height": look.height})
    page.emulate_media(
        media="screen",
        color_scheme="dark" if look.dark else "light",
        forced_colors="active" if look.own_colours else "none",
    )
    watched = Watched(page)

    def handle(route: Route) -> None:
        url = route.request.url
        if is_own(url) or url.startswith("data:"):
            route.continue_()
            return
        watched.requests.append(url)
        route.abort()

    listeners = {
        "console": lambda message: watched.messages.append(message.text),
        "pageerror": lambda error: watched.messages.append(str(error)),
        "dialog": lambda dialog: (watched.messages.append(dialog.message), dialog.dismiss()),
    }
    page.route("**/*", handle)
    for event, listener in listeners.items():
        page.on(event, listener)
    try:
        page.goto(address)
        yield watched
    finally:
        page.goto("about:blank")
        page.unroute("**/*", handle)
        for event, listener in listeners.items():
            page.remove_listener(event, listener)
        if context:
            context.close()


def settled(page: Page) -> None:
    """Wait until what was asked of the page is drawn: two frames, and a turn of its queue."""
    page.evaluate(
        """() => new Promise(done => requestAnimationFrame(
          () => requestAnimationFrame(() => setTimeout(done))))"""
    )


def at_rest(page: Page) -> None:
    """Wait until the map has come to rest: what it still moves cannot be clicked for sure."""
    page.locator(".leaflet-pan-anim, .leaflet-zoom-anim").wait_for(state="detached")
    settled(page)


def click_everything(page: Page) -> int:
    """Click every link, button, box, fold and sign once; return how many there were."""
    page.evaluate("window.print = () => {}")
    clicked: int = page.evaluate(
        """() => {
          const all = "a, button, input, summary, .water-holder, .tag-holder, svg g, path";
          const things = [...document.querySelectorAll(all)];
          const click = () => new MouseEvent("click", { bubbles: true, cancelable: true });
          for (const thing of things) thing.dispatchEvent(click());
          return things.length;
        }"""
    )
    settled(page)
    return clicked


def axe_violations(page: Page) -> list[tuple[str, str, list[str]]]:
    """Run axe-core: what it finds, its help, and the first elements; its rules really ran."""
    page.evaluate(_axe_script())
    run = "tags => axe.run({ runOnly: tags, resultTypes: ['violations'] })"
    found = page.evaluate(run, AXE_TAGS)
    assert len(found["passes"]) > 20
    return [
        (each["id"], each["help"], [node["html"][:160] for node in each["nodes"]][:4])
        for each in found["violations"]
    ]


def _axe_script() -> str:
    script = resources.files("axe_playwright_python") / "axe.min.js"
    return script.read_text(encoding="utf-8")
