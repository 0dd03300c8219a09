"""The pupil view, stepped by the four keys of a presenter's remote: what it shows, and what it never shows."""

import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from keyed_lessons import give_key_frames
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QFontMetricsF
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QLabel, QWidget
from waiting import PATIENCE_MS

from review.app.lesson_chart.first_last import FirstLast
from review.app.pupil_view.steps import Content, Shows, Step, hide_names
from review.app.side_by_side.lock import FIRST_FRAMES
from review.app.swing_view.canvas import Canvas
from review.jobs.showing.pair import show_to_pupil
from review.lesson import Consent, Handedness, Measure, Pupil, Purpose
from review.library import Library

NEXT, BEFORE, PLAY, LEAVE = Qt.Key.Key_PageDown, Qt.Key.Key_PageUp, Qt.Key.Key_Period, Qt.Key.Key_Escape
OTHER, NOTE = "Sam Otherpupil", "Sore left knee since May"
LEAST_CAPITAL_PX = 28


def copy_of(library: Path, folder: Path) -> Path:
    shutil.copytree(library, folder / "library")
    return folder / "library"


@pytest.fixture(scope="module")
def private_library(sample_library, tmp_path_factory) -> Path:
    """A lesson with key frames, a private note, another pupil, and a feel that names that one."""
    folder = copy_of(sample_library, tmp_path_factory.mktemp("private"))
    give_key_frames(folder)
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        library.update_pupil(replace(library.pupil(lesson.pupil_id), private_note=NOTE))
        library.add_pupil(Pupil("other", OTHER, Handedness.LEFT, private_note=NOTE))
        batches = [replace(batch, feel=f"Like {OTHER} does it", cue=f"As {OTHER}") for batch in lesson.batches]
        library.set_batches(lesson.id, batches)
        library.update_lesson(replace(lesson, batches=tuple(batches)))
    return folder


def open_view(qtbot, window):
    QTest.keyClick(window.pages.currentWidget(), Qt.Key.Key_F5)
    view = window.two_swings.view
    qtbot.waitUntil(lambda: bool(view.content.steps) and view.is_ready, timeout=PATIENCE_MS)
    view.resize(1366, 768)  # once it has filled the screen, which is a small one here
    assert (view.width(), view.height()) == (1366, 768)
    return view


def press(qtbot, view, *keys) -> None:
    for key in keys:
        QTest.keyClick(view, key)
        qtbot.waitUntil(lambda: view.is_ready, timeout=PATIENCE_MS)


def texts_of(view: QWidget) -> list[str]:
    """Every text of the view: on labels, on the pictures, in its title, read out to the blind."""
    widgets = [view, *view.findChildren(QWidget)]
    texts = [widget.text() for widget in widgets if isinstance(widget, QLabel)]
    texts += [text for widget in widgets if isinstance(widget, Canvas) for text in (widget.note, widget.message)]
    for widget in widgets:
        texts += [widget.accessibleName(), widget.accessibleDescription(), widget.toolTip(), widget.windowTitle()]
    return [text for text in texts if text]


def test_every_step_by_the_four_keys(qtbot, open_lesson, private_library) -> None:
    window = open_lesson(private_library)
    view = open_view(qtbot, window)
    assert view.isFullScreen() or view.isVisible()
    steps = [Step(Shows.CLIPS, name) for name in ("address", "top", "impact", "finish")]
    steps += [Step(Shows.NUMBERS), Step(Shows.FELT)]
    for n, step in enumerate(steps):
        assert (view.at, view.step) == (n, step)
        if step.shows is Shows.CLIPS:
            frames = tuple(next(k.frame for k in c.key_frames if k.name == step.at) for c in view.player.clips)
            assert view.player.shown_frames == frames
        press(qtbot, view, NEXT)
    assert view.step == steps[-1]  # after the last it stays
    press(qtbot, view, *5 * [BEFORE])
    assert view.step == steps[0]
    press(qtbot, view, PLAY)
    assert view.player.transport.is_playing
    press(qtbot, view, NEXT)
    assert not view.player.transport.is_playing
    press(qtbot, view, Qt.Key.Key_B, Qt.Key.Key_B)  # other remotes send B for that key
    assert not view.player.transport.is_playing
    press(qtbot, view, LEAVE)
    assert view.isHidden()
    assert view.player is None
    assert window.pages.currentWidget() is window.chart
    QTest.keyClick(window.chart, Qt.Key.Key_F5)
    assert view.isVisible()
    QTest.keyClick(view, Qt.Key.Key_F5)
    assert view.isHidden()


def test_nothing_private_is_in_any_text(qtbot, open_lesson, private_library) -> None:
    window = open_lesson(private_library)
    pupil = window.state.lesson.pupil
    window.bar.say(f"{OTHER}.mp4 could not be read")
    view = open_view(qtbot, window)
    seen = []
    for _ in view.content.steps:
        seen += texts_of(view)
        press(qtbot, view, NEXT)
    said = "\n".join(seen).casefold()
    assert "another pupil" in said  # the feel is shown, the name is not
    forbidden = [
        OTHER,
        "Otherpupil",
        NOTE,
        "knee",
        pupil.name,
        str(window.state.library),
        ".mp4",
        "question",
        "consent",
    ]
    forbidden += [batch.cue for batch in window.state.lesson.lesson.batches]
    assert [word for word in forbidden if word.casefold() in said] == []


def test_no_key_but_the_remotes_does_anything(qtbot, open_lesson, private_library) -> None:
    window = open_lesson(private_library)
    view = open_view(qtbot, window)
    before, page = view.step, window.pages.currentWidget()
    for key in (*range(Qt.Key.Key_F1, Qt.Key.Key_F5), Qt.Key.Key_F6, Qt.Key.Key_F7, Qt.Key.Key_S, Qt.Key.Key_Question):
        QTest.keyClick(view, key)
    assert view.isVisible()
    assert view.step == before
    assert window.pages.currentWidget() is page
    press(qtbot, view, LEAVE)


def test_three_numbers_in_the_players_words_readable_at_two_metres(qtbot, open_lesson, private_library) -> None:
    view = open_view(qtbot, open_lesson(private_library))
    while view.step.shows is not Shows.NUMBERS:
        press(qtbot, view, NEXT)
    labels = {label.text(): label for label in view.findChildren(QLabel) if label.isVisible() and label.text()}
    assert "Club path" in labels
    assert any("in-to-out" in text for text in labels)
    assert len(view.content.numbers) <= 3
    for text, label in labels.items():
        capital_px = QFontMetricsF(label.font()).capHeight()
        assert capital_px >= LEAST_CAPITAL_PX, text
        assert label.width() <= view.width()
    assert max(label.geometry().bottom() for label in labels.values()) < view.height()


def test_left_handed_numbers_are_in_his_words(qtbot, open_lesson, left_handed_library) -> None:
    view = open_view(qtbot, open_lesson(left_handed_library))
    (said,) = [said for name, said in view.content.numbers if name == "Club path"]
    assert "out-to-in" in said.first_words


def test_it_hides_when_idle_and_any_remote_key_brings_it_back(qtbot, open_lesson, private_library) -> None:
    view = open_view(qtbot, open_lesson(private_library))
    press(qtbot, view, NEXT, PLAY)
    view.set_idle_s(0.05)
    for key in (NEXT, BEFORE, PLAY, LEAVE):
        if not view.is_hidden:
            view._idle.start()
        qtbot.waitUntil(lambda: view.is_hidden, timeout=PATIENCE_MS)
        assert not view.player.transport.is_playing
        assert view.stage.is_calm
        assert view.stage.head.isHidden()
        view.set_idle_s(60)
        QTest.keyClick(view, key)
        assert not view.is_hidden
        assert view.step == Step(Shows.CLIPS, "top")  # only brought back, nothing else done
        view.set_idle_s(0.05)
    assert view.isVisible()


def test_nothing_moves_while_a_swing_is_on(qtbot, open_lesson, private_library) -> None:
    view = open_view(qtbot, open_lesson(private_library))
    press(qtbot, view, PLAY)
    assert view.player.transport.is_playing
    view.hold_still(True)
    assert not view.player.transport.is_playing
    press(qtbot, view, PLAY)
    assert not view.player.transport.is_playing
    view._hide()  # the time to hide has come meanwhile
    assert not view.is_hidden
    view.hold_still(False)
    press(qtbot, view, PLAY)
    assert view.player.transport.is_playing


def test_a_clip_that_is_gone_is_not_named(qtbot, open_lesson, private_library, tmp_path) -> None:
    folder = copy_of(private_library, tmp_path)
    shutil.rmtree(folder / "clips")
    view = open_view_without_frames(qtbot, open_lesson(folder))
    notes = [screen.canvas.message for screen in view.player.screens.all]
    assert notes == ["This clip cannot be shown now."] * 2
    QTest.keyClick(view, LEAVE)


def open_view_without_frames(qtbot, window):
    QTest.keyClick(window.pages.currentWidget(), Qt.Key.Key_F5)
    view = window.two_swings.view
    qtbot.waitUntil(
        lambda: view.player is not None and all("cannot" in s.canvas.message for s in view.player.screens.all),
        timeout=PATIENCE_MS,
    )
    return view


def test_without_clips_the_numbers_are_shown(qtbot, open_lesson, private_library, tmp_path) -> None:
    folder = copy_of(private_library, tmp_path)
    with Library.open(folder) as library:
        for swing in library.swings(library.latest_lesson().id):
            for clip in swing.clips:
                library.remove_clip(clip.id)
    view = open_view(qtbot, open_lesson(folder))
    assert [step.shows for step in view.content.steps] == [Shows.NUMBERS, Shows.FELT]


def test_while_it_plays_the_head_names_what_was_passed(qtbot, open_lesson, private_library) -> None:
    view = open_view(qtbot, open_lesson(private_library))
    press(qtbot, view, NEXT, NEXT)
    assert view.stage.head.text() == "Impact"
    press(qtbot, view, PLAY)
    qtbot.waitUntil(lambda: view.stage.head.text() == "Address", timeout=PATIENCE_MS)  # again after the finish
    qtbot.waitUntil(lambda: view.stage.head.text() == "Top", timeout=PATIENCE_MS)
    view.player.transport.pause()
    head, lock = view.player.transport.head, view.player.lock
    keys = {key.name: key.frame for key in view.player.clips[lock.finer].key_frames}
    assert keys["top"] <= head.frame < keys["impact"]


def test_one_filmed_swing_is_shown_once(qtbot, open_lesson, private_library, tmp_path) -> None:
    folder = copy_of(private_library, tmp_path)
    with Library.open(folder) as library:
        for swing in [s for s in library.swings(library.latest_lesson().id) if s.clips][1:]:
            for clip in swing.clips:
                library.remove_clip(clip.id)
    view = open_view(qtbot, open_lesson(folder))
    one, other = (screen.canvas for screen in view.player.screens.all)
    assert one.isVisible()
    assert not other.isVisible()


def test_without_a_lesson_f5_says_so(qtbot, open_window, private_library) -> None:
    window = open_window(private_library)
    QTest.keyClick(window.start_page, Qt.Key.Key_F5)
    assert window.two_swings.view is None
    assert "open one first" in window.status.accessibleDescription()


def test_without_a_lesson_it_is_calm(qtbot, open_window, private_library) -> None:
    window = open_window(private_library)
    view = window.two_swings.show_view()
    assert view.isVisible()
    assert view.step is None
    press(qtbot, view, NEXT, PLAY, BEFORE)
    assert not any(OTHER in text or "Example" in text for text in texts_of(view))
    press(qtbot, view, LEAVE)
    assert view.isHidden()


def test_another_lesson_is_not_left_standing_in_front_of_the_next_pupil(qtbot, open_lesson, private_library) -> None:
    window = open_lesson(private_library)
    view = open_view(qtbot, window)
    window.state.close_lesson()
    assert view.isHidden()
    assert view.content == Content()


def test_without_consent_to_measure_the_body_is_left_out(private_library, qtbot, open_lesson, tmp_path) -> None:
    folder = copy_of(private_library, tmp_path)
    with Library.open(folder) as library:
        lesson = library.latest_lesson()
        for n, swing in enumerate(library.swings(lesson.id)):
            library.set_measures(swing.id, [Measure("hip_turn_deg", 20.0 + n, "impact", own_sd=1.0)], "test")
        pupil = library.pupil(lesson.pupil_id)
        assert show_to_pupil(folder, lesson.id).may_measure
    view = open_view(qtbot, open_lesson(folder))
    assert "Hip turn at impact" in [name for name, _ in view.content.numbers]
    with Library.open(folder) as library:
        keeps = Consent(pupil.name, lesson.held_on, frozenset({Purpose.KEEP}))
        library.update_pupil(replace(pupil, consent=keeps, is_minor=False))
    view = open_view(qtbot, open_lesson(folder))
    names = [name for name, _ in view.content.numbers]
    assert "Club path" in names
    assert "Hip turn at impact" not in names
    assert not any("Hip" in line for line in view.content.measured)
    # seeing himself needs no consent: it is not shown to others
    assert view.content.steps[0].shows is Shows.CLIPS


def test_steps_leave_out_what_there_is_nothing_for() -> None:
    said = FirstLast(1, 2, "a", "b", "c", "", "", "")
    assert Content().steps == ()
    assert [s.at for s in Content(names=("impact", "knee in", "top")).steps] == ["top", "impact"]
    assert Content(names=()).steps == (Step(Shows.CLIPS, FIRST_FRAMES),)
    assert [s.shows for s in Content(None, (("x", said),), "light").steps] == [Shows.NUMBERS, Shows.FELT]


@pytest.mark.parametrize(
    ("text", "hidden"),
    [
        ("Like Sam does", "Like another pupil does"),
        ("like SAM OTHERPUPIL, slow", "like another pupil, slow"),
        ("the same sampler", "the same sampler"),
        ("Zoë's turn", "another pupil's turn"),
        ("a\nb\u202e", "a b"),
    ],
)
def test_names_of_others_are_hidden_whole_words_only(text: str, hidden: str) -> None:
    assert hide_names(text, ["Sam", OTHER, "Zoë", ""]) == hidden


def test_long_words_are_shortened() -> None:
    assert len(hide_names("word " * 200, [])) <= 241
