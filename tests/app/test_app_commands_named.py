"""In the window no message names a command: where one does, the window says which key it is."""

from datetime import datetime

import pytest

from review.app.language import load_words, speak
from review.app.sentences import say_sentences
from review.errors import ReviewError
from review.jobs.live import LiveRequest
from review.jobs.live.beginning import begin_lesson
from review.library import Library


@pytest.fixture(autouse=True)
def english():
    speak("en")


def test_a_folder_without_a_library_says_how_one_begins(tmp_path):
    with pytest.raises(ReviewError) as refused:
        Library.open(tmp_path / "none", create=False)
    assert "--library" in str(refused.value)
    said = say_sentences(str(refused.value))
    assert said == f"There is no library in {tmp_path / 'none'} yet. F10 begins the first lesson and makes it."


@pytest.mark.parametrize(
    ("request_", "says"),
    [
        (LiveRequest(pupil="Pat Example"), "Name the folder"),
        (LiveRequest(pupil="Pat Example", folders=((".", ""),)), "say which hand"),
    ],
)
def test_what_a_lesson_needs_to_begin(tmp_path, request_, says):
    with Library.open(tmp_path / "library", create=True) as library, pytest.raises(ReviewError) as refused:
        begin_lesson(library, request_, datetime(2026, 3, 14, 10), lambda _: None)
    said = say_sentences(str(refused.value))
    assert says in said
    assert "--" not in said


def test_no_sentence_of_the_window_names_a_command():
    for said in load_words("en_sentences").values():
        assert "lesson-review" not in said
        assert "--" not in said
