"""A real browser for the page: the system's Chromium; where there is none, its tests are left out."""

import shutil
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from playwright.sync_api import Browser, Page, sync_playwright

CHROMIUM = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
needs_browser = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium here (Debian: apt-get install chromium)")
AXE = Path(__file__).parents[1] / "data" / "axe.min.js"
PHONE, LAPTOP = (390, 844), (1366, 768)


@contextmanager
def browsing() -> Iterator[Browser]:
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(executable_path=CHROMIUM, args=["--no-sandbox"])
        try:
            yield browser
        finally:
            browser.close()


@contextmanager
def opened(
    browser: Browser, page_path: Path, size: tuple[int, int] = PHONE, scripts: bool = True, dark: bool = False
) -> Iterator[tuple[Page, list[str]]]:
    """Open a page; the list gathers what must not be: words on its console, errors, requests beyond the file."""
    wrong: list[str] = []
    context = browser.new_context(
        viewport={"width": size[0], "height": size[1]},
        java_script_enabled=scripts,
        color_scheme="dark" if dark else "light",
        has_touch=size == PHONE,
    )
    own = page_path.as_uri()
    context.on("request", lambda r: r.url.startswith(("data:", "blob:")) or r.url == own or wrong.append(r.url[:200]))
    page = context.new_page()
    page.on("console", lambda message: wrong.append(f"{message.type}: {message.text}"))
    page.on("pageerror", lambda error: wrong.append(str(error)))
    page.on("dialog", lambda dialog: (wrong.append(f"dialog: {dialog.message}"), dialog.dismiss()))
    try:
        page.goto(own)
        settle(page)
        yield page, wrong
    finally:
        context.close()


def settle(page: Page) -> None:
    """Wait until every video shows the picture that it was sent to."""
    done = "[...document.querySelectorAll('video')].every((video) => video.readyState >= 2 && !video.seeking)"
    for _ in range(200):
        if page.evaluate(done):
            return
        page.wait_for_timeout(50)
    raise AssertionError("a video is not there after ten seconds")


def find_violations(page: Page) -> list[str]:
    """What axe-core has to say against a page: WCAG 2.2, A and AA."""
    page.evaluate("document.querySelectorAll('details').forEach((part) => { part.open = true; })")
    page.evaluate(AXE.read_text(encoding="utf-8"))
    tags = ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]
    found = page.evaluate("(tags) => axe.run(document, {runOnly: tags})", tags)
    assert found["passes"]
    return [
        f"{v['id']}: {node['html'][:150]} {node['failureSummary']}" for v in found["violations"] for node in v["nodes"]
    ]


def measure_tapped(page: Page) -> list[list[float]]:
    """Width and height in CSS pixels of all that is tapped."""
    boxes: list[list[float]] = page.evaluate(
        "[...document.querySelectorAll('a, button, summary, input')].filter((e) => e.offsetParent)"
        ".map((e) => { const b = e.getBoundingClientRect(); return [b.width, b.height]; })"
    )
    return boxes
