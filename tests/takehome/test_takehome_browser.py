"""The page in a real browser: alone in an empty folder, on a phone's and a laptop's screen, scripts on and off."""

import re
import shutil
from dataclasses import replace
from datetime import date
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser, Page
from takehome_browser import (
    LAPTOP,
    PHONE,
    browsing,
    find_violations,
    measure_tapped,
    needs_browser,
    opened,
    settle,
)

from review.compare import Verdict
from review.lesson import KeyFrame
from review.media import VideoWriter
from review.takehome import ClipSide, Pair, Row, SwingNumber, TakeHome, write_takehome

pytestmark = needs_browser
N_BITS = 8
FIRST_IMPACT, LAST_IMPACT = 66, 84
TOPS = (50, 62)

READ = """() => {
  const begun = performance.now(), pens = [...document.querySelectorAll('.pair video')].map((video) => {
    const pen = new OffscreenCanvas(8, 320).getContext('2d', { willReadFrequently: true });
    pen.drawImage(video, 0, 0, 8, 320);
    return pen;
  });
  const took = performance.now() - begun;
  const numbers = pens.map((pen) => {
    let number = 0;
    for (let bit = 0; bit < 8; bit++) if (pen.getImageData(4, 40 * bit + 20, 1, 1).data[1] > 128) number |= 1 << bit;
    return number;
  });
  return { numbers, took };
}"""
READ_NUMBERS = f"() => ({READ})().numbers"
# while it plays, two pictures taken one long after the other say nothing about being in step
FOLLOW = """(seconds) => new Promise((done) => {
  const read = READ, seen = [], begun = performance.now();
  function look() {
    const now = read();
    if (now.took < 8) seen.push(now.numbers);
    if (performance.now() - begun < 1000 * seconds) requestAnimationFrame(look); else done(seen);
  }
  requestAnimationFrame(look);
})""".replace("READ", READ)


def numbered_clip(path: Path, n: int) -> None:
    """Every picture carries its number as eight stripes, dark or bright."""
    with VideoWriter(path, 180, 320, 60) as writer:
        for i in range(n):
            bits = [235 if i >> bit & 1 else 20 for bit in range(N_BITS)]
            writer.write(np.repeat(np.array(bits, np.uint8), 40)[:, None, None].repeat(180, 1).repeat(3, 2))


def side(path: Path, impact: int, top: int, batch: int) -> ClipSide:
    names = {"address": top - 40, "top": top, "impact": impact, "finish": impact + 40}
    frames = tuple(KeyFrame(name, frame / 60, frame, 0.9, "pose") for name, frame in names.items())
    return ClipSide(
        path, f"Batch {batch}", batch, impact / 60, frames, numbers=(SwingNumber("Club path", "6.0° in-to-out"),)
    )


@pytest.fixture(scope="module")
def numbered(tmp_path_factory: pytest.TempPathFactory) -> Pair:
    folder = tmp_path_factory.mktemp("numbered")
    numbered_clip(folder / "first.mp4", 130)
    numbered_clip(folder / "last.mp4", 150)
    first = side(folder / "first.mp4", FIRST_IMPACT, TOPS[0], 1)
    last = side(folder / "last.mp4", LAST_IMPACT, TOPS[1], 3)
    return Pair(first, last, "face-on", "")


@pytest.fixture(scope="module")
def alone(numbered: Pair, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The page, alone in an empty folder."""
    row = Row(
        "Club path",
        "5.9° in-to-out",
        "1.9° in-to-out",
        "4.0° less in-to-out",
        "2.3 to 5.7°",
        "clear",
        True,
        verdict=Verdict.CLEAR,
    )
    contents = TakeHome("Ines", date(2026, 3, 14), pairs=(numbered,), rows=(row,))
    page = write_takehome(contents, tmp_path_factory.mktemp("whole") / "out")
    empty = tmp_path_factory.mktemp("alone")
    return Path(shutil.copy(page, empty))


@pytest.fixture(scope="module")
def browser():
    with browsing() as browser:
        yield browser


def read_numbers(page: Page) -> tuple[int, int]:
    """The pictures that the two clips show, once neither is on its way to another."""
    settle(page)
    page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
    first, last = page.evaluate(READ_NUMBERS)
    return first, last


@pytest.mark.parametrize("size", [PHONE, LAPTOP])
@pytest.mark.parametrize("scripts", [True, False])
def test_it_says_nothing_and_asks_nobody(alone: Path, browser: Browser, size: tuple[int, int], scripts: bool) -> None:
    with opened(browser, alone, size, scripts) as (page, wrong):
        page.wait_for_timeout(300)
        assert wrong == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]


def test_the_player_steps_and_jumps_to_the_very_picture(alone: Path, browser: Browser) -> None:
    with opened(browser, alone) as (page, wrong):
        assert read_numbers(page) == (FIRST_IMPACT, LAST_IMPACT)
        page.get_by_role("button", name="One on").click()
        assert read_numbers(page) == (FIRST_IMPACT + 1, LAST_IMPACT + 1)
        for _ in range(3):
            page.get_by_role("button", name="One back").click()
        assert read_numbers(page) == (FIRST_IMPACT - 2, LAST_IMPACT - 2)
        page.get_by_role("button", name="Top").click()
        assert read_numbers(page) == TOPS
        page.get_by_role("slider").press("ArrowRight")
        assert read_numbers(page) == (TOPS[0] + 1, TOPS[1] + 1)
        page.get_by_role("button", name="Impact").click()
        assert read_numbers(page) == (FIRST_IMPACT, LAST_IMPACT)
        assert wrong == []


def test_two_views_are_moved_apart_from_each_other(numbered: Pair, browser: Browser, tmp_path: Path) -> None:
    pairs = (numbered, replace(numbered, view="down-the-line"))
    written = write_takehome(TakeHome("", date(2026, 3, 14), pairs=pairs), tmp_path / "out")
    with opened(browser, written) as (page, wrong):
        page.locator(".pair").nth(1).get_by_role("button", name="Top").click()
        page.locator(".pair").nth(1).get_by_role("button", name="One on").click()
        settle(page)
        page.evaluate("() => new Promise((done) => requestAnimationFrame(() => requestAnimationFrame(done)))")
        assert page.evaluate(READ_NUMBERS) == [FIRST_IMPACT, LAST_IMPACT, TOPS[0] + 1, TOPS[1] + 1]
        assert find_violations(page) == []
        assert wrong == []


@pytest.mark.parametrize("speed", ["Full", "Quarter"])
def test_playing_the_clips_stay_within_one_picture(alone: Path, browser: Browser, speed: str) -> None:
    with opened(browser, alone) as (page, wrong):
        page.get_by_role("button", name="Address").click()
        page.get_by_role("button", name="Impact").click()
        page.get_by_role("slider").press("Home")
        page.get_by_role("button", name=speed).click()
        page.get_by_role("button", name="Play").click()
        seen = np.array(page.evaluate(FOLLOW, 1.2))
        page.get_by_role("button", name="Play").or_(page.get_by_role("button", name="Pause")).click()
        apart = seen[:, 1] - seen[:, 0] - (LAST_IMPACT - FIRST_IMPACT)
        assert len(np.unique(seen[:, 0])) > 10
        assert np.abs(apart).max() <= 1, apart.tolist()
        assert wrong == []


def test_a_pause_shows_the_same_instant_of_both(alone: Path, browser: Browser) -> None:
    with opened(browser, alone) as (page, _):
        page.get_by_role("slider").press("Home")
        page.get_by_role("button", name="Play").click()
        page.wait_for_timeout(350)
        page.get_by_role("button", name="Pause").click()
        first, last = read_numbers(page)
        assert last - first == LAST_IMPACT - FIRST_IMPACT
        page.get_by_role("button", name="Play").click()
        # it ends by itself, both at their last common picture
        page.get_by_role("button", name="Play", exact=True).wait_for()
        first, last = read_numbers(page)
        assert last - first == LAST_IMPACT - FIRST_IMPACT


def test_without_scripts_every_clip_plays_by_its_own_controls(alone: Path, browser: Browser) -> None:
    with opened(browser, alone, scripts=False) as (page, wrong):
        assert not page.get_by_role("button", name="Play", exact=True).filter(visible=True).count()
        videos = page.locator("video")
        assert videos.count() == 3  # both together, and each alone
        for n in range(3):
            video = videos.nth(n)
            assert video.get_attribute("controls") is not None
            video.scroll_into_view_if_needed()
            video.focus()
            page.keyboard.press("Space")
            page.wait_for_timeout(500)
            assert video.evaluate("video => video.currentTime") > 0.1
            page.keyboard.press("Space")
        assert page.get_by_text("4.0° less in-to-out").is_visible()
        assert wrong == []


@pytest.mark.parametrize("dark", [False, True])
@pytest.mark.parametrize(("size", "scripts"), [(PHONE, True), (LAPTOP, True), (PHONE, False)])
def test_everybody_can_use_it(
    alone: Path, browser: Browser, size: tuple[int, int], scripts: bool, dark: bool, tmp_path: Path
) -> None:
    """WCAG 2.2 AA as far as axe-core can tell."""
    shown = alone
    if not scripts:  # axe is a script itself: it gets what a browser without scripts makes of the page
        text = re.sub(r"</?noscript>|<script>.*</script>", "", alone.read_text(encoding="utf-8"), flags=re.DOTALL)
        shown = tmp_path / "page.html"
        shown.write_text(text, encoding="utf-8")
    with opened(browser, shown, size, dark=dark) as (page, _):
        assert page.locator("video").count() == (2 if scripts else 3)
        assert find_violations(page) == []


def test_what_is_tapped_is_large_enough(alone: Path, browser: Browser) -> None:
    """44 x 44 CSS pixels: WCAG 2.2, 2.5.5."""
    with opened(browser, alone) as (page, _):
        boxes = measure_tapped(page)
        assert len(boxes) > 8
        assert np.min(boxes) >= 44


def test_on_paper_nothing_is_left_to_press(alone: Path, browser: Browser) -> None:
    with opened(browser, alone) as (page, _):
        page.emulate_media(media="print")
        assert not page.locator("button").filter(visible=True).count()
        assert not page.locator("video").filter(visible=True).count()
        assert page.locator("img.paper").filter(visible=True).count() == 2
        assert not page.get_by_text("In brackets").count()  # a device's number has none
