"""What gives way on the page of a swing where letters are large or the window small, and calm numbers at address."""

import numpy as np
import pytest
from PyQt5.QtGui import QFontMetricsF

from review.app.look import DARK, Look
from review.app.look.painting import font_of
from review.app.swing_view.beside import Beside
from review.app.swing_view.curves import Curves
from review.app.swing_view.numbers import say_frame
from review.app.swing_view.scrub_bar import ScrubBar, place_names
from review.body.series import Series
from review.jobs.showing.swing import show_swing
from review.lesson import Handedness, KeyFrame
from review.library import Library

NAMES = ("hip_turn_deg", "shoulder_turn_deg", "trail_heel_lift_cm", "hip_shift_cm")


def series(value) -> Series:
    value = np.asarray(value, float)
    n = len(value)
    return Series(np.arange(n) / 10, value, np.full(n, 2.0), np.full(n, 1.0), np.zeros(n, bool))


@pytest.fixture
def curves(qtbot):
    panel = Curves()
    qtbot.addWidget(panel)
    panel.set_look(Look.fit(DARK, 1366, 768, 1.3))
    panel.show_curves({name: series(range(5)) for name in NAMES}, np.arange(5) / 10, ())
    panel.show()
    return panel


@pytest.mark.parametrize(("height", "n_rows"), [(500, 2), (230, 1), (100, 0)])
def test_curves_that_have_no_room_are_left_out(curves, height: int, n_rows: int) -> None:
    curves.resize(500, height)
    assert curves.n_rows == n_rows
    assert curves._no_room.isHidden() == (n_rows > 0)


def test_c_turns_over_to_the_curves_without_room(qtbot, curves) -> None:
    curves.resize(500, 230)
    seen = []
    for _ in range(3):
        qtbot.waitUntil(lambda: not curves._to_draw)
        seen.append((curves.isHidden(), curves._first))
        curves.turn_over()
    assert seen == [(False, 0), (False, 1), (True, 0)]
    assert not curves.isHidden()


def test_numbers_are_0_at_address_and_before_it_while_they_cannot_be_told_from_that() -> None:
    found = {"hip_turn_deg": series([20.0, 1.5, -0.8, -2.0, -30.0]), "hip_shift_cm": series([0.1, 0.0, 0.1, 0.4, 9.0])}
    said = [[one.words for one in say_frame(found, t, Handedness.RIGHT, 0.2)] for t in (0.0, 0.1, 0.2, 0.3, 0.4)]
    assert said[1] == said[2] == ["0°, as at address", "0 cm, as at address"]
    assert said[0][0].startswith("open 20°")
    assert said[3][0].startswith("turned away 2°")
    assert said[4][0].startswith("turned away 30°")


def test_a_mark_at_the_top_swallows_no_neighbour(qtbot) -> None:
    keys = [
        KeyFrame(name, frame / 100, frame, 0.9, source)
        for name, frame, source in (
            ("top", 100, "pose"),
            ("hands highest here", 100, "coach"),
            ("arm level", 103, "pose"),
        )
    ]
    bar = ScrubBar()
    qtbot.addWidget(bar)
    bar.set_look(Look.fit(DARK, 1366, 768))
    bar.show_clip(200, keys)
    bar.resize(600, bar.sizeHint().height())
    rows = [row for _, row in bar.places]
    assert rows == [0, 1, 2]
    metrics = QFontMetricsF(font_of(Look.fit(DARK, 1366, 768).quiet_px))
    assert bar.sizeHint().height() >= bar._base + 8 + 3 * metrics.height() - metrics.descent()


def test_names_stay_on_one_line_where_there_is_room() -> None:
    assert place_names([(50.0, 60.0), (300.0, 60.0)], 400.0, 5.0) == ((20.0, 0), (270.0, 0))


def test_numbers_come_before_curves(qtbot, sample_library) -> None:
    with Library.open(sample_library) as library:
        lesson = library.lessons(library.pupils()[0].id)[0]
        swing = next(swing for swing in library.swings(lesson.id) if swing.clips)
    beside = Beside(show_swing(sample_library, lesson.id, swing.id))
    qtbot.addWidget(beside)
    beside.set_look(Look.fit(DARK, 800, 480, 1.3))
    numbers = say_frame({name: series(range(5)) for name in NAMES}, 0.1, Handedness.RIGHT)
    beside.numbers.show_plain(numbers, "numbers")
    beside.curves.show_curves({name: series(range(5)) for name in NAMES}, np.arange(5) / 10, ())
    beside.resize(300, 280)
    beside.show()
    qtbot.wait(50)
    assert beside.numbers.height() == beside.numbers.sizeHint().height()
