"""What stands on the screen in a live lesson: how the batch stands, keys with a number, widths."""

from datetime import date

import pytest

from review.cli.live.batch_so_far import say_batch_so_far
from review.cli.live.keys import Keys
from review.cli.live.screen import LiveScreen
from review.cli.wrapping import pack
from review.jobs.live import RowArrived
from review.lesson import AimMeasure, Batch, Handedness, Lesson, Pupil, Shot, Swing, SwingKind
from review.library import Library

BATCH = Batch("b", 2, is_closed=False)
LESSON = Lesson("l", "p", date(2026, 3, 14), aim_measures=(AimMeasure("club_path_deg"),), batches=(BATCH,))


def _swing(order: int, path_deg: float | None, kind: SwingKind = SwingKind.SHOT, batch: str = "b") -> Swing:
    shot = None if path_deg is None else Shot(f"s{order}", order, "t", {"club_path_deg": path_deg})
    return Swing(str(order), order, kind, shot=shot, batch_id=batch)


def test_the_batch_so_far_counts_its_own_shots_only():
    swings = [
        _swing(1, 9.0, batch="other"),
        _swing(2, 4.0),
        _swing(3, 8.0, SwingKind.PRACTICE),
        _swing(4, None),
        _swing(5, 2.0),
        _swing(6, 3.0),
        _swing(7, 3.4),
    ]
    said = say_batch_so_far(LESSON, BATCH, swings, Handedness.RIGHT)
    assert said == ("batch 2, 4 shots: club path mean 3.1° in-to-out", "last 2.0, 3.0, 3.4°")
    assert say_batch_so_far(LESSON, BATCH, swings, Handedness.LEFT)[0].endswith("out-to-in")
    assert say_batch_so_far(LESSON, BATCH, swings[1:2], Handedness.RIGHT) == ("batch 2, 1 shot",)
    assert say_batch_so_far(LESSON, BATCH, swings[2:4], Handedness.RIGHT) == ()


def test_values_on_both_sides_keep_their_words():
    swings = [_swing(1, 1.0), _swing(2, -3.0)]
    assert say_batch_so_far(LESSON, BATCH, swings, Handedness.RIGHT)[1] == "last 1.0° in-to-out, 3.0° out-to-in"


@pytest.mark.parametrize(
    ("pressed", "taken"), [("6p", ("6p",)), ("12l", ("12l",)), ("p", ("p",)), ("6 p", ("p",)), ("6", ()), ("\t", ())]
)
def test_digits_belong_to_the_key_after_them(pressed, taken):
    keys = Keys(clock_s=lambda: 100.0)
    for key in pressed:
        keys._press(key)
    assert keys.take() == taken


def test_a_number_that_no_key_followed_is_forgotten():
    now = [100.0]
    keys = Keys(clock_s=lambda: now[0])
    keys._press("6")
    now[0] += 6.0
    keys._press("p")
    assert keys.take() == ("p",)


def test_lines_are_packed_below_each_other(monkeypatch):
    monkeypatch.setattr("review.cli.wrapping._width", lambda: 40)
    lines = pack(["hips at impact open 31°", "trail heel 2.5 cm up"], "Swing 7  ").splitlines()
    assert lines == ["Swing 7  hips at impact open 31°;", "         trail heel 2.5 cm up"]


def test_what_is_missing_is_said_once_after_some_seconds(tmp_path, capsys):
    now = [0.0]
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(Pupil("p", "Test", Handedness.RIGHT))
        library.add_lesson(LESSON)
        row = _swing(1, 4.0)
        library.add_shots("l", [row.shot])
        library.replace_swings("l", [row])
        screen = LiveScreen(library, clock_s=lambda: now[0])
        screen.tell(RowArrived("l", row.shot, row))
        assert "Swing 1  4.0° in-to-out (row 1 of the table)" in capsys.readouterr().out
        screen.look()
        now[0] = 5.9
        screen.look()
        assert capsys.readouterr().out == ""
        now[0] = 6.1
        screen.look()
        screen.look()
        assert capsys.readouterr().out.split() == ["waiting", "for", "the", "clip"]
