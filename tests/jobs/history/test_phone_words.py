"""What a phone's clip beside a batch is told with: the finding first."""

from datetime import date
from pathlib import Path

from review.compare.one_swing import Beside
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.history.phone_words import say_phone_clip
from review.jobs.history.pictures import draw_beside
from review.lesson import Batch, Handedness, Lesson, Measure, Pupil, View


def test_what_plainly_differs_leads_and_is_drawn():
    """The larger of two that lie outside first, whatever the aim's order; what could be one in a line by itself."""
    lesson = Lesson("l", "p", date(2026, 2, 8))
    values = (30.0, 80.0, 60.0)
    keys = (("hip_turn_deg", "top"), ("hip_turn_deg", "impact"), ("shoulder_turn_deg", "top"))
    beside = tuple(
        Beside(key, Measure(key[0], value, key[1]), 5, 30.0, 10.0, 50.0, (28.0, 32.0))
        for key, value in zip(keys, values, strict=True)
    )
    measured = PhoneClip(
        Pupil("p", "P", Handedness.RIGHT), lesson, Batch("b", 1), View.FACE_ON, beside, (), (), (), Path("c.mp4"), None
    )
    found = say_phone_clip(measured).alike
    assert [line.split(",")[0] for line in found[:2]] == [
        "Plainly different: hip turn at impact",
        "Plainly different: shoulder turn at top",
    ]
    assert found[2].startswith("Could be one more swing of the batch: hip turn at top ")
    assert "Hip turn at impact" in draw_beside(measured).to_svg().decode()
