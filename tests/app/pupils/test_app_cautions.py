"""The usual cautions and the count of balls."""

from PyQt5.QtCore import Qt
from PyQt5.QtWidgets import QLabel

from review.app.look.choice import Choice, read_choice, write_choice
from review.app.pupils.caution_words import count_balls, say_balls, step_many
from review.app.pupils.cautions import Cautions
from review.lesson import Swing, SwingKind


def test_every_ball_of_the_pupil_counts_and_nothing_else():
    kinds = (SwingKind.SHOT, SwingKind.PRACTICE, SwingKind.SHOT, SwingKind.DRILL, SwingKind.DEMONSTRATION)
    assert count_balls([Swing(f"s{n}", n, kind=kind) for n, kind in enumerate(kinds, start=1)]) == 2


def test_many_balls_are_said_plainly():
    assert say_balls(1, 100) == "1 ball so far"
    assert say_balls(99, 100) == "99 balls so far"
    assert "A pause, or the end" in say_balls(100, 100)
    assert (step_many(100, -1), step_many(10, -1), step_many(500, 1)) == (90, 10, 500)


def test_the_coach_sets_the_number_by_key(qtbot):
    widget = Cautions(lambda: 85)
    qtbot.addWidget(widget)
    said = " ".join(label.text() for label in widget.findChildren(QLabel))
    for word in ("Warm up", "swing space", "club reach", "Cables", "qualified professional", "aids for coaching"):
        assert word in said
    assert widget.balls.text() == "85 balls so far"
    with qtbot.waitSignals([widget.many_chosen] * 2):
        qtbot.keyClick(widget, Qt.Key.Key_Minus)
        qtbot.keyClick(widget, Qt.Key.Key_Minus)
    assert "that is many (80 or more)" in widget.balls.text()
    with qtbot.waitSignal(widget.left):
        qtbot.keyClick(widget, Qt.Key.Key_Return)


def test_the_number_is_kept(tmp_path):
    write_choice(Choice(many_balls=60), tmp_path / "window.json")
    assert read_choice(tmp_path / "window.json").many_balls == 60
    (tmp_path / "window.json").write_text('{"many_balls": 7}')
    assert read_choice(tmp_path / "window.json") == Choice()


def test_before_the_first_ball_by_key(qtbot, open_lesson, sample_library, tmp_path):
    window = open_lesson(sample_library)
    window._choice_file = tmp_path / "window.json"
    window.chart.setFocus()
    qtbot.keyClick(window.chart, Qt.Key.Key_F9)
    page = window.pages.currentWidget()
    # 15 rows and one clip without a row; the practice swing does not count
    assert page.balls.text() == "16 balls so far"
    for _ in range(9):
        qtbot.keyClick(page, Qt.Key.Key_Minus)
    assert "16 balls so far: that is many (10 or more)" in page.balls.text()
    qtbot.keyClick(page, Qt.Key.Key_Return)
    assert window.pages.currentWidget() is window.chart
    assert read_choice(tmp_path / "window.json").many_balls == 10
