"""A live lesson in the window, by keyboard alone, with a camera's folder and a device's table that fill meanwhile."""

import shutil
import sys
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.app.look.choice import Choice
from review.app.voice import recorder
from review.app.window import Window
from review.lesson import Handedness, Pupil, SwingKind, VoiceOf
from review.library import Library
from tests.made_voices import MadeDevices, speak

sys.path.append(str(Path(__file__).parents[2] / "jobs" / "live"))
from watched_lesson import CLIPS, DAY, HEADER, ROWS, began

ROW_OF = {0: 0, 1: 1, 3: 2, 4: 3}


class Lesson:
    """The bay and a window on it; ``at`` is the time of this computer's clock."""

    def __init__(self, qtbot, folder: Path, library: Path | None = None) -> None:
        self.qtbot, self.folder = qtbot, folder
        self.clips, self.table = folder / "clips", folder / "shots.csv"
        self.clips.mkdir(exist_ok=True)
        self.library = library or folder / "library"
        Library.open(self.library).close()
        self.at = datetime.combine(DAY, datetime.strptime("10:12:00", "%H:%M:%S").time())
        self.window = Window(self.library, Choice())
        self.window.live._now = lambda: self.at
        self.window.show()

    def press(self, key) -> None:
        target = self.window.focusWidget() or self.window
        self.qtbot.keyClick(target, key)

    def type(self, text: str) -> None:
        self.qtbot.keyClicks(self.window.focusWidget(), text)

    def wait(self, is_so) -> None:
        self.qtbot.waitUntil(is_so, timeout=PATIENCE_MS)

    def is_up(self, page) -> bool:
        return page is not None and self.window.pages.currentWidget() is page

    def begin(self, name: str, hand: Handedness, *, has_table: bool = True, has_folder: bool = False) -> None:
        live = self.window.live
        self.press(Qt.Key.Key_F10)
        self.wait(lambda: self.is_up(live.begin_page))
        self.type(name)
        form = live.begin_page
        if not any(toggle.isChecked() for toggle in form.hands.values()):
            for key in [Qt.Key.Key_Tab] * (2 if hand is Handedness.LEFT else 1) + [Qt.Key.Key_Space]:
                self.press(key)
        if not has_folder:
            form.folders.setFocus()
            self.type(str(self.clips))
            form.table.setFocus()
            self.type(str(self.table) if has_table else "")
        self.press(Qt.Key.Key_Return)
        self.wait(lambda: live.is_on and self.shown is not None and self.shown.pupil.name == name)

    @property
    def page(self):
        return self.window.live.page

    @property
    def shown(self):
        return self.window.state.lesson

    @property
    def swings(self):
        return self.shown.swings

    def read_cautions(self) -> None:
        self.wait(lambda: self.is_up(self.window.others.find("cautions")))
        self.press(Qt.Key.Key_Return)
        self.wait(lambda: self.is_up(self.page))

    def hit(self, i: int, has_row: bool = True) -> None:
        """A shot of the sample: its row and its clip."""
        n = sum(bool(swing.clips) for swing in self.swings)
        self.at = max(self.at, began(i) + timedelta(seconds=6))
        if has_row:
            is_new = not self.table.exists()
            with self.table.open("a", encoding="utf-8") as file:
                file.write(f"{HEADER}\n" * is_new + f"{ROWS[ROW_OF[i]]}\n")
        shutil.copyfile(CLIPS[i], self.clips / CLIPS[i].name)
        self.wait(lambda: sum(bool(s.clips) and (bool(s.shot) or not has_row) for s in self.swings) == n + 1)

    def close(self) -> None:
        self.window.close()


@pytest.fixture
def made(qtbot, tmp_path):
    lessons = []

    def make(library: Path | None = None) -> Lesson:
        lessons.append(Lesson(qtbot, tmp_path, library))
        return lessons[-1]

    yield make
    for lesson in lessons:
        lesson.close()
        lesson.window.deleteLater()


def test_a_lesson_by_keyboard_alone(made):
    lesson = made()
    lesson.begin("Pat Example", Handedness.LEFT)
    lesson.read_cautions()
    page = lesson.page
    lesson.hit(0)
    lesson.wait(lambda: page.newest.canvas.frame is not None)
    assert page.newest.is_moving
    assert page.newest.numbers.title == "Swing 1 · batch 1 · 1 ball"
    first = page.newest.numbers.numbers[0]
    assert first.label == "Club path"
    value = lesson.swings[0].shot.values["club_path_deg"]  # + right of target: to a left-hander's inside
    assert ("in-to-out" in first.words) == (value < 0)
    lesson.press(Qt.Key.Key_Space)
    assert not page.newest.is_moving
    assert page.newest.is_held

    lesson.press(Qt.Key.Key_B)
    lesson.wait(lambda: not page.form.isHidden())  # the feel of the batch that closed
    lesson.type("heavy hip")
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: [b.feel for b in lesson.shown.lesson.batches] == ["heavy hip", ""])
    lesson.press(Qt.Key.Key_W)
    lesson.type("turn the lead hip")
    lesson.press(Qt.Key.Key_Tab)
    lesson.press(Qt.Key.Key_Down)  # the word used before
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: lesson.shown.lesson.batches[-1].cue == "turn the lead hip")
    assert lesson.shown.lesson.batches[-1].feel == "heavy hip"

    lesson.hit(1)
    lesson.wait(lambda: page.newest.numbers.title == "Swing 2 · batch 2 · 2 balls")
    lesson.wait(lambda: page.newest.is_moving)  # what was held is let go with the next clip
    lesson.press(Qt.Key.Key_P)
    lesson.wait(lambda: lesson.swings[-1].kind is SwingKind.PRACTICE)
    lesson.press(Qt.Key.Key_U)
    lesson.wait(lambda: lesson.swings[-1].kind is SwingKind.SHOT)
    lesson.press(Qt.Key.Key_L)
    lesson.wait(lambda: len({swing.batch_id for swing in lesson.swings}) == 1)
    lesson.press(Qt.Key.Key_X)
    lesson.type("topped")
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: lesson.swings[-1].left_out == "topped")
    assert page.newest.numbers.title.endswith("left out")
    lesson.press(Qt.Key.Key_K)
    lesson.type("driver")
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: lesson.shown.lesson.batches[-1].club == "driver")

    lesson.press(Qt.Key.Key_E)
    assert "E again" in page.said.text()
    lesson.press(Qt.Key.Key_Space)  # anything else goes on
    assert "E again" not in page.said.text()
    assert lesson.is_up(page)
    lesson.press(Qt.Key.Key_E)
    lesson.press(Qt.Key.Key_E)
    lesson.wait(lambda: lesson.is_up(lesson.window.chart))
    assert all(batch.is_closed for batch in lesson.shown.lesson.batches)


def test_the_next_pupil_begins_at_the_key_and_esc_skips_the_feel(made):
    lesson = made()
    lesson.begin("Pat Example", Handedness.RIGHT)
    lesson.read_cautions()
    lesson.hit(0)
    first = lesson.shown.lesson.id
    lesson.press(Qt.Key.Key_B)
    lesson.wait(lambda: not lesson.page.form.isHidden())
    lesson.press(Qt.Key.Key_Escape)
    assert lesson.page.form.isHidden()
    lesson.at = lesson.at + timedelta(seconds=10)
    pressed_at = lesson.at
    lesson.begin("Kim Sample", Handedness.LEFT, has_folder=True)
    lesson.read_cautions()
    assert lesson.swings == ()
    lesson.hit(1)
    with Library.open(lesson.library) as library:
        assert [len(library.swings(one)) for one in (first, lesson.shown.lesson.id)] == [1, 1]
        assert [live.ended_at for live in library.live_lessons()] == [pressed_at, None]
        assert library.lesson(first).batches[0].feel == ""


def test_without_a_table_and_without_consent(made):
    lesson = made()
    lesson.begin("Pat Example", Handedness.RIGHT, has_table=False)
    lesson.read_cautions()
    assert "Consent to keep" in lesson.page.said.text()
    lesson.press(Qt.Key.Key_A)  # to the consent form and back: asked, and refused
    pupil_page = lesson.window.others
    lesson.wait(lambda: pupil_page.pupil is not None and pupil_page.pupil.consent.isVisible())
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: lesson.is_up(lesson.page))
    with Library.open(lesson.library) as library:
        (pupil,) = library.pupils()
        assert pupil.consent.given_by == "Pat Example"
        assert not pupil.consent.purposes
    said = lesson.page.said.text()
    assert "Pat Example was asked on" in said
    assert "refused" in said
    lesson.press(Qt.Key.Key_A)
    lesson.wait(lambda: pupil_page.pupil.consent.isVisible())
    lesson.wait(lambda: "refused" in pupil_page.pupil.consent.on_record.text())
    lesson.press(Qt.Key.Key_Escape)
    assert "Nothing changed" in lesson.window.status.accessibleDescription()
    lesson.wait(lambda: lesson.is_up(lesson.page))
    lesson.hit(0, has_row=False)
    lesson.wait(lambda: lesson.page.newest.canvas.frame is not None)
    assert [number.words for number in lesson.page.newest.numbers.numbers] == ["–", "–", "–"]
    lesson.press(Qt.Key.Key_1)
    assert lesson.page.newest.numbers.numbers[0].label != "Club path"


def test_a_window_that_ended_goes_on_where_it_was(made):
    lesson = made()
    lesson.begin("Pat Example", Handedness.RIGHT)
    lesson.read_cautions()
    lesson.hit(0)
    lesson.close()
    again = made(lesson.library)
    again.at = lesson.at
    again.window.live.go_on_if_left()
    again.wait(lambda: again.is_up(again.page))
    assert again.shown.pupil.name == "Pat Example"
    assert len(again.swings) == 1
    again.hit(1)
    page = again.page
    again.press(Qt.Key.Key_F10)  # what the batch felt like that would end with it
    assert "batch 1" in page.form.title.text()
    again.press(Qt.Key.Key_Escape)
    again.wait(lambda: again.is_up(again.window.live.begin_page))
    again.press(Qt.Key.Key_Escape)
    again.wait(lambda: again.is_up(page))
    for _ in range(2):
        again.press(Qt.Key.Key_E)
    assert again.window.live.is_on
    again.type("late hips")
    again.press(Qt.Key.Key_Return)
    again.wait(lambda: again.is_up(again.window.chart) and again.shown.lesson.batches[-1].is_closed)
    assert again.shown.lesson.batches[-1].feel == "late hips"


def test_what_is_missing_is_said_and_the_lesson_before_goes_on(made):
    lesson = made()
    lesson.press(Qt.Key.Key_F10)
    lesson.wait(lambda: lesson.is_up(lesson.window.live.begin_page))
    lesson.type("Pat Example")
    lesson.press(Qt.Key.Key_Return)
    form = lesson.window.live.begin_page
    assert "side" in form.refusal.text()
    form.hands[Handedness.RIGHT].setChecked(True)
    assert form.refusal.text() == ""  # what was wrong is put right
    form.folders.setFocus()
    lesson.type(str(lesson.clips))
    lesson.press(Qt.Key.Key_Escape)
    assert lesson.is_up(lesson.window.start_page)
    lesson.press(Qt.Key.Key_F10)
    lesson.wait(lambda: lesson.is_up(form))
    assert form.folders.text() == str(lesson.clips)
    lesson.type("Pat Example")
    form.hands[Handedness.RIGHT].setChecked(True)
    form.aim.setText("club speedclub path")
    lesson.press(Qt.Key.Key_Return)
    assert "club path" in form.refusal.text().lower()
    assert "pressure" not in form.refusal.text().lower()  # the nearest, not all of them
    form.aim.setText("Club path, hip turn at impact; face to path")
    assert [aim.name for aim in form.read().aim_measures] == ["club_path_deg", "hip_turn_deg", "face_to_path_deg"]


def test_from_a_pupils_page_the_pupil_comes_along_and_esc_goes_back(made):
    lesson = made()
    with Library.open(lesson.library) as library:
        library.add_pupil(Pupil("p1", "Pat Example", Handedness.LEFT))
    window = lesson.window
    window.others.ask_pupil("p1")
    lesson.wait(lambda: lesson.is_up(window.others.pupil) and window.others.pupil.shown is not None)
    lesson.press(Qt.Key.Key_F10)
    lesson.wait(lambda: lesson.is_up(window.live.begin_page))
    form = window.live.begin_page
    assert form.name.text() == "Pat Example"
    assert form.hands[Handedness.LEFT].isChecked()
    lesson.press(Qt.Key.Key_Escape)
    assert lesson.is_up(window.others.pupil)


def test_cue_and_feel_are_spoken_and_taken_back(made, monkeypatch):
    devices = MadeDevices()
    monkeypatch.setattr(recorder, "open_devices", lambda: devices)
    lesson = made()
    lesson.begin("Pat Example", Handedness.RIGHT)
    lesson.read_cautions()
    page = lesson.page
    lesson.press(Qt.Key.Key_Q)
    lesson.wait(lambda: page.voice.recorder.recording is not None)
    devices.hear(speak(2.0))
    lesson.press(Qt.Key.Key_Q)
    batch = lesson.shown.lesson.batches[0]
    lesson.wait(lambda: (batch.id, VoiceOf.CUE) in lesson.shown.voices)
    assert "spoken" in page.said.text()
    lesson.press(Qt.Key.Key_F)  # the pupil has not agreed to it
    lesson.wait(lambda: "consent" in lesson.window.bar.text)
    assert not devices.is_open
    page.voice.set_swing_on(True)
    page.voice.setFocus()
    lesson.press(Qt.Key.Key_U)  # a key of the page
    lesson.wait(lambda: not lesson.shown.voices)
    lesson.press(Qt.Key.Key_Q)
    assert not page.voice.recorder.is_busy


def test_tab_goes_through_the_form_that_begins_a_lesson_field_by_field(made):
    lesson = made()
    window = lesson.window
    window.live.ask()
    lesson.wait(lambda: window.live.begin_page is not None and lesson.is_up(window.live.begin_page))
    page = window.live.begin_page
    window.activateWindow()
    page.take_focus()
    seen = []
    for _ in range(10):
        seen.append(window.focusWidget())
        QTest.keyClick(window.focusWidget(), Qt.Key.Key_Tab)
    hands = list(page.hands.values())
    assert seen[:5] == [page.name, *hands, page.minor, page.folders]
    assert [seen[6], seen[8], seen[9]] == [page.table, page.club, page.aim]
    QTest.keyClick(hands[1], Qt.Key.Key_Space)
    assert [hand.isChecked() for hand in hands] == [False, True]
    QTest.keyClick(hands[0], Qt.Key.Key_Space)
    assert [hand.isChecked() for hand in hands] == [True, False]
    QTest.keyClick(hands[0], Qt.Key.Key_Space)  # one of them always is
    assert [hand.isChecked() for hand in hands] == [True, False]


def test_a_child_walks_in_words_half_written_stay_and_the_pupil_is_chosen_afterwards(made):
    lesson = made()
    with Library.open(lesson.library) as library:
        library.add_pupil(Pupil("p1", "Another Pupil", Handedness.RIGHT))
    lesson.window.state.load_pupils()
    live = lesson.window.live
    lesson.press(Qt.Key.Key_F10)
    lesson.wait(lambda: lesson.is_up(live.begin_page))
    form = live.begin_page
    lesson.type("Kim Sample")
    for key in (Qt.Key.Key_Tab, Qt.Key.Key_Space, Qt.Key.Key_Tab, Qt.Key.Key_Tab, Qt.Key.Key_Space):
        lesson.press(key)
    assert form.minor.isChecked()
    form.folders.setFocus()
    lesson.type(str(lesson.clips))
    lesson.press(Qt.Key.Key_Return)
    assert "guardian's name" in form.refusal.text()
    form.minor.setFocus()
    lesson.press(Qt.Key.Key_Tab)
    lesson.type("Mo Sample")
    lesson.press(Qt.Key.Key_Escape)  # by mistake: all of it is there again
    lesson.press(Qt.Key.Key_F10)
    lesson.wait(lambda: lesson.is_up(form))
    assert (form.name.text(), form.guardian.text(), form.minor.isChecked()) == ("Kim Sample", "Mo Sample", True)
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: live.is_on)
    lesson.read_cautions()
    assert (lesson.shown.pupil.is_minor, lesson.shown.pupil.guardian) == (True, "Mo Sample")
    page = lesson.page
    lesson.press(Qt.Key.Key_Escape)
    assert "The lesson goes on" in page.said.text()

    lesson.press(Qt.Key.Key_B)  # nothing was struck: what is written is for the batch that is open
    assert "no swing yet" in page.said.text()
    lesson.type("turn the hip")
    lesson.press(Qt.Key.Key_Escape)
    assert "Not kept yet" in page.said.text()
    lesson.press(Qt.Key.Key_W)
    assert page.form.fields[0].text() == "turn the hip"
    lesson.press(Qt.Key.Key_Return)
    lesson.wait(lambda: [batch.cue for batch in lesson.shown.lesson.batches] == ["turn the hip"])
    lesson.press(Qt.Key.Key_B)  # told already; clips may come late
    lesson.wait(lambda: len(lesson.shown.lesson.batches) == 2)
    lesson.press(Qt.Key.Key_Escape)
    for _ in range(2):
        lesson.press(Qt.Key.Key_E)
    lesson.wait(lambda: not live.is_on and lesson.is_up(lesson.window.chart))
    lesson.press(Qt.Key.Key_Escape)
    start = lesson.window.start_page
    lesson.wait(lambda: lesson.is_up(start) and start.pupils.count() == 2)
    assert start.pupils.currentItem().text().startswith("Kim Sample")
