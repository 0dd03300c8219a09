"""The page on A4: how many sheets it takes, and that nothing of it is cut off."""

import re
from datetime import date
from pathlib import Path

import pytest
from playwright.sync_api import Browser
from takehome_browser import browsing, needs_browser, opened

from review.compare import Verdict
from review.takehome import BatchWords, Chart, ChartPoint, Row, TakeHome
from review.takehome.page import format_page

pytestmark = needs_browser
N_OTHERS = 30


@pytest.fixture(scope="module")
def browser():
    with browsing() as browser:
        yield browser


@pytest.fixture(scope="module")
def lesson_page(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A lesson as long as most: four numbers of the aim with a chart each, thirty others, three batches; no clips."""
    words = "9.6 cm toward target", "4.9 cm toward target", "4.7 cm less toward target", "2.8 to 6.7 cm less"
    aim = [Row(f"Hip shift, aim {n}", *words, "clear", True, verdict=Verdict.CLEAR) for n in range(4)]
    others = [Row(f"Hip shift, number {n}", *words) for n in range(N_OTHERS)]
    points = tuple(ChartPoint(n, 9.6 - 0.3 * n, 1 + n // 6) for n in range(1, 17))
    contents = TakeHome(
        "Ines",
        date(2026, 3, 14),
        rows=(*aim, *others),
        charts=tuple(Chart(row.label, "cm", points, "more toward target", "less toward target") for row in aim),
        batches=tuple(BatchWords(n, "turn the lead hip", "as if it spun out", 6) for n in (1, 2, 3)),
        practice=("Ten slow swings without a ball.", "Then three balls at half speed."),
    )
    page = tmp_path_factory.mktemp("paper") / "index.html"
    page.write_text(format_page(contents, ()), encoding="utf-8")
    return page


def test_a_lesson_without_pictures_takes_three_sheets(lesson_page: Path, browser: Browser) -> None:
    with opened(browser, lesson_page) as (page, _):
        pdf = page.pdf(format="A4", prefer_css_page_size=True)
    assert len(re.findall(rb"/Type\s*/Page\b", pdf)) <= 3


def test_every_number_is_on_paper_and_nothing_wider_than_it(lesson_page: Path, browser: Browser) -> None:
    a4_px = 184 / 25.4 * 96  # between its margins
    with opened(browser, lesson_page, (round(a4_px), 1000)) as (page, _):
        page.emulate_media(media="print")
        assert page.locator("tbody tr").filter(visible=True).count() == 4 + N_OTHERS
        assert page.evaluate("document.documentElement.scrollWidth") <= a4_px + 1
        lowest = "[...document.querySelectorAll('.charts svg')].map((s) => s.getBoundingClientRect().width)"
        assert min(page.evaluate(lowest)) > 7.0 / 2.54 * 96
