"""The take-home written from the window, by keyboard; nobody gets it without consent."""

import shutil
from dataclasses import replace
from datetime import date

import pytest
from PyQt5.QtCore import Qt
from waiting import PATIENCE_MS

from review.app.handing_out import view
from review.app.handing_out.words import say_for_whom
from review.app.pictures.views import add_sample
from review.jobs.handing_out import HandedOut
from review.lesson import Consent, Handedness, Pupil, Purpose
from review.library import Library
from review.takehome import ClipChoice, ClipOptions, Form


def _page(window, qtbot):
    qtbot.keyClick(window.chart, Qt.Key.Key_T)
    qtbot.waitUntil(
        lambda: window.others.name_on == "handing_out",
        timeout=PATIENCE_MS,
    )
    return window.others.find("handing_out")


def test_it_is_written_by_keyboard_alone(open_lesson, sample_library, qtbot, tmp_path):
    page = _page(open_lesson(sample_library), qtbot)
    assert "Ines Calder" in page.for_whom.text()
    page.folder.setText(str(tmp_path / "out"))
    qtbot.keyClick(page.choices.faces, Qt.Key.Key_Space)
    assert page.choices.faces.isChecked()
    page.receiver.setText("Ines and her father")
    with qtbot.waitSignal(page.done, timeout=PATIENCE_MS):
        qtbot.keyClick(page.folder, Qt.Key.Key_Return)
    assert {path.name for path in (tmp_path / "out").iterdir()} >= {"index.html", "sheet.pdf", "measures.csv"}
    assert str(tmp_path / "out") in page.said.text()
    with Library.open(sample_library, create=False) as library:
        assert any("to Ines and her father" in line for line in library.handouts(library.pupils()[0].id))
    window = page.window()
    qtbot.keyClick(page, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart


def test_the_choices_are_the_commands_and_reach_what_is_written(
    open_lesson, sample_library, qtbot, tmp_path, monkeypatch
):
    """As they are, the command's defaults; by Tab and Space each can be changed."""
    page = _page(open_lesson(sample_library), qtbot)
    assert page.choices.choose() == ClipChoice()
    asked = []
    monkeypatch.setattr(view, "hand_out_apart", lambda *given: asked.append(given[3]) or HandedOut(tmp_path / "x", ()))
    page.folder.setText(str(tmp_path / "out"))
    page.folder.setFocus()
    reached = []
    for _ in range(20):
        qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Tab)
        if page.focusWidget() in page.choices.all and page.focusWidget() not in reached:
            reached.append(page.focusWidget())
            qtbot.keyClick(page.focusWidget(), Qt.Key.Key_Space)
    assert reached == list(page.choices.all)
    with qtbot.waitSignal(page.done, timeout=PATIENCE_MS):
        qtbot.keyClick(page.folder, Qt.Key.Key_Return)
    (wanted,) = asked
    assert (wanted.cover_faces, wanted.only_player, wanted.with_zip) == (True, True, True)
    assert wanted.choice == ClipChoice(
        ClipOptions(freeze_at=(), with_sound=True), (Form.LANDSCAPE,), with_singles=False
    )
    qtbot.keyClick(page.choices.wide, Qt.Key.Key_Space)
    qtbot.keyClick(page.folder, Qt.Key.Key_Return)
    assert "upright or wide" in page.said.text()
    assert len(asked) == 1


def test_a_folder_that_holds_something_else_is_told_and_left_alone(open_lesson, sample_library, qtbot, tmp_path):
    (tmp_path / "mine.txt").write_text("keep")
    page = _page(open_lesson(sample_library), qtbot)
    page.folder.setText(str(tmp_path))
    qtbot.keyClick(page.folder, Qt.Key.Key_Return)
    qtbot.waitUntil(lambda: "…" not in page.said.text(), timeout=PATIENCE_MS)
    assert page.page is None
    assert [path.name for path in tmp_path.iterdir()] == ["mine.txt"]


@pytest.mark.parametrize("minor", [False, True])
def test_nothing_without_consent_and_a_minors_goes_to_the_guardian(open_lesson, tmp_path, qtbot, minor):
    folder = add_sample(tmp_path / "library")
    purposes = frozenset({Purpose.KEEP, Purpose.SHARE} if minor else {Purpose.KEEP})
    with Library.open(folder) as library:
        (pupil,) = library.pupils()
        changed = replace(
            pupil,
            is_minor=minor,
            guardian="Rana Calder" if minor else None,
            consent=Consent("Rana Calder" if minor else pupil.name, date(2026, 3, 14), purposes),
        )
        library.update_pupil(changed)
    page = _page(open_lesson(folder), qtbot)
    if minor:
        assert "Rana Calder" in page.for_whom.text()
        assert "Calder" not in page.folder.text()
        assert page.receiver.text() == "Rana Calder"
        for covered in (page.choices.faces, page.choices.only_player):
            assert covered.isChecked()
            assert not covered.isEnabled()
    else:
        assert "but not to a take-home" in page.for_whom.text()
        assert not page.folder.isEnabled()
        assert not any(part.isVisible() for part in (page.folder, page.receiver, page.choices, page.contents))
        qtbot.keyClick(page, Qt.Key.Key_Return)
        assert page.page is None
        assert not page.said.text()


@pytest.mark.parametrize(
    ("consent", "said"),
    [
        (Consent("Ines Calder", date(2026, 3, 14), frozenset()), "Ines Calder was asked on 14 March 2026 and refused."),
        (Consent("Ines Calder", date(2026, 3, 14), frozenset({Purpose.KEEP})), "but not to a take-home"),
        (
            Consent("Ines Calder", date(2026, 3, 14), frozenset(Purpose), withdrawn_on=date(2026, 4, 1)),
            "withdrawn since 1 April 2026",
        ),
    ],
)
def test_what_was_answered_is_said_and_not_asked_again(consent, said):
    pupil = Pupil("p", "Ines Calder", Handedness.RIGHT, consent=consent)
    words = say_for_whom(pupil, date(2026, 5, 1))
    assert said in words
    assert "may still look" in words
    assert "ask " not in words
    assert "not on record" not in words


def test_a_lesson_is_measured_from_the_chart(open_lesson, library_without_table, qtbot, tmp_path):
    folder = tmp_path / "library"
    shutil.copytree(library_without_table, folder)
    window = open_lesson(folder)
    assert ("hip_turn_deg", "impact") not in window.state.lesson.keys
    qtbot.keyClick(window.chart, Qt.Key.Key_M)
    qtbot.waitUntil(lambda: ("hip_turn_deg", "impact") in window.state.lesson.keys, timeout=4 * PATIENCE_MS)
