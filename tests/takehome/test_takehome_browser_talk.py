"""The part of the page on which the coach talks, in a real browser on a phone's and a laptop's screen."""

from datetime import date
from pathlib import Path

import numpy as np
import pytest
from playwright.sync_api import Browser
from takehome_browser import LAPTOP, PHONE, browsing, find_violations, measure_tapped, needs_browser, opened

from review.media import Audio, VideoWriter
from review.takehome import TakeHome, TalkVideo
from review.takehome.page import format_page

pytestmark = needs_browser
SIZES = pytest.mark.parametrize("size", [PHONE, LAPTOP])
NOTE = '0:02 <script>alert("x")</script> ' + "heel" * 70


@pytest.fixture(scope="module")
def talked(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A page with a spoken talk, a written one with notes that are code and long, and one that found no room."""
    folder = tmp_path_factory.mktemp("talked")
    voice = Audio((np.sin(np.arange(16000) / 8) / 3).astype(np.float32), 16000, 0.0)
    with VideoWriter(folder / "talk.mp4", 180, 320, 30, voice) as writer:
        for n in range(30):
            writer.write(np.full((320, 180, 3), 40 + 6 * n, np.uint8))
    video = (folder / "talk.mp4").read_bytes()
    (folder / "talk.mp4").unlink()
    talks = (
        TalkVideo("04-talk-over-swing-3.mp4", "swing 3", video, True, ("0:01 hips first",)),
        TalkVideo("05-talk-over-swings-3-and-7.mp4", "swings 3 and 7", video, False, (NOTE,)),
        TalkVideo("06-talk-over-swing-9.mp4", "swing 9", b"", True),
    )
    page = folder / "index.html"
    page.write_text(format_page(TakeHome("Ines", date(2026, 3, 14)), (), talks), encoding="utf-8")
    return page


@pytest.fixture(scope="module")
def browser():
    with browsing() as browser:
        yield browser


@SIZES
@pytest.mark.parametrize("dark", [False, True])
def test_everybody_can_use_it_and_it_says_nothing(
    talked: Path, browser: Browser, size: tuple[int, int], dark: bool
) -> None:
    with opened(browser, talked, size, dark=dark) as (page, wrong):
        assert page.locator("video").count() == 2
        assert find_violations(page) == []
        assert page.evaluate("document.documentElement.scrollWidth") <= size[0]
        boxes = measure_tapped(page)
        assert len(boxes) >= 3  # a link to each file
        assert np.min(boxes) >= 44
        assert wrong == []


@SIZES
@pytest.mark.parametrize("scripts", [True, False])
def test_it_plays_by_its_own_controls(talked: Path, browser: Browser, size: tuple[int, int], scripts: bool) -> None:
    with opened(browser, talked, size, scripts) as (page, wrong):
        for name in ("Your coach talks over swing 3", "Your coach writes over swings 3 and 7"):
            video = page.get_by_label(name)
            assert video.get_attribute("controls") is not None
            video.scroll_into_view_if_needed()
            video.focus()
            page.keyboard.press("Space")
            page.wait_for_timeout(400)
            assert video.evaluate("video => video.currentTime") > 0.1
        assert page.get_by_text("Too large for this page").is_visible()
        assert page.get_by_role("link", name="06-talk-over-swing-9.mp4").is_visible()
        assert wrong == []
