"""Names that are code, read from the right, are pictures or go on for 300 letters: from the lesson to the folder."""

import csv
import re
from dataclasses import replace
from pathlib import Path

import av
import pytest
from takehome_browser import browsing, needs_browser, opened

from review.jobs.adding import add_lesson
from review.jobs.handing_out import HandOutWish, hand_out
from review.jobs.lesson_file import read_lesson_file
from review.library import Library
from review.takehome.clips.files import ClipChoice
from tests.framed_by_hand import frame_by_hand

SAMPLE = Path(__file__).parents[2] / "sample_clips" / "lesson.toml"
NAMES = {
    "code_and_300_letters": (
        '<script>alert("x")</script><img src=x onerror=alert(1)> \' " & {{ 7*7 }} %s =1+1 ' + "Łucja-Nguyễn " * 18
    ).strip(),
    "right_to_left": "\u0645\u0631\u064a\u0645 \u05e9\u05e8\u05d4 \u0645\u06cc\u200c\u062e\u0648\u0627\u0647\u0645",
    "pictures": "Bo \U0001f3cc\ufe0f\u200d\u2640\ufe0f \U0001f469\u200d\U0001f680 \u674e\u5c0f\u9f99",
}


@pytest.fixture(scope="module", params=NAMES)
def handed_out(request, tmp_path_factory):
    """The folder of a lesson in which everybody's words are one name, and that name."""
    name = NAMES[request.param]
    folder = tmp_path_factory.mktemp("names")
    plan = read_lesson_file(SAMPLE)
    batches = tuple(replace(batch, cue=name, feel=name) for batch in plan.batches)
    plan = replace(
        plan,
        pupil=replace(plan.pupil, name=name, consent=replace(plan.pupil.consent, given_by=name)),
        batches=batches,
        aim=name,
        practice=(name, name),
        check_alone=name,
        place=name,
        player_setups=(),
    )
    with Library.open(folder / "library") as library:
        lesson = add_lesson(library, plan).lesson
        moments = {"address": -0.25, name[:60]: -0.2, "top": -0.15, "impact": 0.0, "finish": 0.15}
        chosen = frame_by_hand(library, lesson, moments)
        numbers = (chosen[0].order, chosen[-1].order)
        done = hand_out(
            library, lesson, folder / "out", [numbers], wanted=HandOutWish(choice=ClipChoice(with_singles=False))
        )
    return done.page.parent, name


def test_file_names_are_plain(handed_out):
    folder, _ = handed_out
    names = {path.name for path in folder.iterdir()} - {".take-home"}
    assert {"index.html", "sheet.pdf", "measures.csv"} < names
    assert any(name.endswith(".mp4") for name in names)
    assert all(re.fullmatch(r"[a-z0-9.-]{1,60}", name) for name in names)


def test_the_page_has_every_letter_and_no_tag_of_it(handed_out):
    folder, name = handed_out
    page = (folder / "index.html").read_text(encoding="utf-8")
    escaped = (("&", "&amp;"), ("<", "&lt;"), (">", "&gt;"), ('"', "&#34;"), ("'", "&#39;"))
    safe = name
    for letter, written in escaped:
        safe = safe.replace(letter, written)
    assert page.count(safe) >= 8
    if safe != name:
        assert name not in page


@needs_browser
def test_the_browser_shows_it_as_text(handed_out):
    folder, name = handed_out
    with browsing() as browser, opened(browser, folder / "index.html") as (page, wrong):
        assert page.locator("h1").inner_text() == f"Your lesson, {name}"
        assert page.locator("ol li").first.inner_text() == name
        key = page.locator("[data-key]").nth(1)
        assert key.get_attribute("data-key") == name[:60]
        key.click()
        said = page.locator(".lock").inner_text()
        assert name[:60] in said or "Both strike" in said
        assert page.evaluate("document.documentElement.scrollWidth") <= 390
        assert wrong == []


def test_the_sheet_is_one_page_and_has_the_letters_it_can_print(handed_out):
    folder, _ = handed_out
    pdf = (folder / "sheet.pdf").read_bytes()
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
    assert b"/FontFile2" in pdf
    assert b"/JavaScript" not in pdf
    assert b"/URI" not in pdf


def test_videos_carry_no_word_of_it(handed_out):
    folder, _ = handed_out
    for path in folder.glob("*.mp4"):
        with av.open(str(path)) as container:
            words = {**container.metadata, **container.streams.video[0].metadata}
        assert not {"title", "artist", "comment", "location", "creation_time"} & set(words), words


def test_no_cell_of_the_table_is_run(handed_out):
    folder, name = handed_out
    with (folder / "measures.csv").open(encoding="utf-8-sig", newline="") as file:
        cells = [cell for row in csv.reader(file) for cell in row]
    assert cells
    assert not any(re.match(r"[=@+\t\r]|-[^\d]", cell) for cell in cells)
