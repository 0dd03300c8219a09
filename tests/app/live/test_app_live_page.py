"""The page of a lesson that goes on, by itself: what it says, and when that is taken back."""

from dataclasses import replace

import pytest
from PyQt5 import sip

from review.app.language import speak
from review.app.live.page import LivePage
from review.jobs.live import Noted


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
