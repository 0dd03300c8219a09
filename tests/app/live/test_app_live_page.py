"""The page of a lesson that goes on, by itself: what it says, and when that is taken back."""

import shutil
from dataclasses import replace

import pytest
from PyQt5 import sip
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.live.following import Following
from review.app.live.page import LivePage
from review.jobs.live import Noted
from review.jobs.showing.lesson import show_lesson
from review.library import Library


@pytest.fixture
def page(open_lesson, sample_library):
    page = LivePage(open_lesson(sample_library).state)
    page.deeds.following = object()
    yield page
    if not sip.isdeleted(page):
        page.finish()
        page.deleteLater()


def test_a_consent_that_comes_when_the_page_is_gone_troubles_nobody(page):
    state = page._state
    pupil = state.lesson.pupil
    state.consent_noted.emit(pupil)
    assert pupil.name in page.said.text()
    page.finish()
    sip.delete(page)
    state.consent_noted.emit(pupil)


@pytest.mark.parametrize("language", ["en", "de"])
def test_that_there_is_no_shot_yet_is_taken_back_with_the_first_in_every_language(page, language):
    state, shown = page._state, page._state.lesson
    speak(language)
    try:
        without = replace(shown, swings=tuple(replace(swing, shot=None) for swing in shown.swings))
        state.lesson = without
        page.say_notes([Noted("shots.csv: the table has a header but no shot yet", is_until_shot=True)])
        said = page.said.text()
        page.refresh()
        assert page.said.text() == said != ""
        state.lesson = shown
        page.refresh()
        assert page.said.text() == ""
        page.say_notes([Noted("The camera is full.")])
        page.refresh()
        assert page.said.text() != ""
    finally:
        speak("en")


def test_numbers_that_come_after_the_end_are_compared_too(qtbot, open_lesson, sample_library, tmp_path):
    folder = shutil.copytree(sample_library, tmp_path / "library")
    window = open_lesson(folder)
    state, live = window.state, window.live
    live.following = Following(folder, None, None)
    before = state.comparison.comparisons[0]
    swing = state.comparison.first_swings[0]
    with Library.open(folder) as library:
        library.update_shot(
            state.lesson.lesson.id, replace(swing.shot, values={**swing.shot.values, before.name: 90.0})
        )
    live._take_renewed(live.following, show_lesson(folder, state.lesson.lesson.id))
    qtbot.waitUntil(lambda: not len(state.line), timeout=PATIENCE_MS)
    assert state.comparison.comparisons[0].mean_first > before.mean_first + 1


class _Session:
    """A lesson in which one clip is measured and two wait."""

    n_arriving, is_over, is_settled = 0, False, False
    clips_to_measure = frozenset({"a"}), frozenset({"b", "c"})

    def look(self):
        pass


def test_clips_that_are_measured_meanwhile_count_as_work(open_window, sample_library):
    window = open_window(sample_library)
    live, n = window.live, []
    live.measuring.connect(n.append)
    following = live.following = Following(sample_library, None, None)
    following.measuring.connect(lambda clips: live._take_measuring(following, clips))
    following.leave()
    following._look_on(_Session(), "")
    assert n == [3]
    assert "3 clips" in window.status._work.text()
    live._take_measuring(following, (frozenset(), frozenset()))
    assert "clips" not in window.status._work.text()


def test_the_end_of_the_lesson_stays_among_the_keys_without_room(page):
    hint = page._hint
    hint.resize(hint.fontMetrics().horizontalAdvance("B new batch   E end   A consent   F10 next"), 30)
    assert hint.shown == "B new batch   E end   A consent   F10 next"
