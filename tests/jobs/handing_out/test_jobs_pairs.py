"""Which clips lie beside each other, and what is said of those that do not."""

from datetime import date

import pytest

from review.jobs.handing_out.pairs import _why_not_from
from review.lesson import Clip, KeyFrame, Lesson, Swing, View


class OneLibrary:
    """Key frames of clips by id."""

    def __init__(self, **found):
        self._found = found

    def key_frames(self, clip_id):
        return self._found.get(clip_id, ())


def swing(order: int, *views: View) -> Swing:
    clips = tuple(Clip(f"c{order}", "", "c.mp4", "c.mp4", view=view) for view in views)
    return Swing(f"s{order}", order, clips=clips)


@pytest.mark.parametrize(
    ("first", "last", "said"),
    [
        ((View.DOWN_THE_LINE,), (View.DOWN_THE_LINE,), "no impact is known there in swing 17."),
        ((View.DOWN_THE_LINE,), (View.FACE_ON,), "swing 17 was not filmed from there"),
        ((View.FACE_ON,), (View.FACE_ON,), ""),
    ],
)
def test_a_side_that_is_not_shown_is_told_with_its_reason(first, last, said):
    library = OneLibrary(c5=(KeyFrame("impact", 1.9, 114, 0.9, "sound"),))
    lesson = Lesson("l", "p", date(2026, 3, 14))
    why = _why_not_from(library, lesson, (swing(5, *first), swing(17, *last)), View.DOWN_THE_LINE)
    assert said in why
    assert bool(why) == bool(said)


def test_two_swings_without_an_impact_are_swings():
    lesson, couple = Lesson("l", "p", date(2026, 3, 14)), [swing(n, View.DOWN_THE_LINE) for n in (5, 17)]
    why = _why_not_from(OneLibrary(), lesson, couple, View.DOWN_THE_LINE)
    assert "no impact is known there in swings 5 and 17." in why
