"""Who a pupil is, what was agreed to, the private note: kept, corrected, forgotten."""

from datetime import date

import pytest

from review.errors import BadInputError
from review.jobs.pupil_page import (
    Details,
    end_consent,
    forget_named,
    keep_consent,
    keep_details,
    keep_private_note,
    look_before_forgetting,
    read_stature,
    say_to_measure_again,
)
from review.lesson import Consent, Handedness, Lesson, Purpose
from review.library import Forgotten, Library

TODAY = date.today()
WALK_IN = Details("Pat Example", Handedness.LEFT)


@pytest.fixture
def folder(tmp_path):
    return tmp_path / "library"


@pytest.mark.parametrize(
    ("text", "stature_m"),
    # 5 ft 8 in = 68 * 2.54 cm
    [
        *(("1.72", 1.72), ("1,72 m", 1.72), ("172", 1.72), ("172 cm", 1.72)),
        *(("5'8", 1.727), ("5 ft 8 in", 1.727), ("6'", 1.829), ("  ", None)),
    ],
)
def test_stature_as_it_is_written(text, stature_m):
    assert read_stature(text) == stature_m


@pytest.mark.parametrize("text", ["tall", "17", "1.72.1", "3'1/2", "0.5", "9'9"])
def test_a_stature_nobody_has_is_refused(text):
    with pytest.raises(BadInputError, match="such as 1.72"):
        read_stature(text)


def test_a_walk_in_needs_a_name_and_a_hand_and_makes_the_library(folder):
    pupil = keep_details(folder, None, WALK_IN)
    with Library.open(folder, create=False) as library:
        assert library.pupils() == (pupil,)
    assert (pupil.name, pupil.handedness, pupil.consent) == ("Pat Example", Handedness.LEFT, None)
    with pytest.raises(BadInputError, match="needs a name"):
        keep_details(folder, None, Details("  ", Handedness.LEFT))


def test_a_name_is_corrected_and_the_rest_stays(folder):
    pupil = keep_details(folder, None, WALK_IN)
    keep_consent(folder, pupil.id, Consent("Pat Example", TODAY, frozenset({Purpose.SHARE})))
    keep_private_note(folder, pupil.id, " left knee, no full turn \n")
    changed = keep_details(folder, pupil.id, Details("  Pat   Sample ", Handedness.RIGHT, 1.7))
    assert (changed.id, changed.name, changed.stature_m) == (pupil.id, "Pat Sample", 1.7)
    assert changed.private_note == "left knee, no full turn"
    assert changed.allows(Purpose.SHARE, TODAY)
    assert "hand and stature" in say_to_measure_again(pupil, changed)
    assert say_to_measure_again(changed, changed) == ""
    assert "knee" not in repr(changed)


def test_two_pupils_cannot_share_a_name(folder):
    keep_details(folder, None, WALK_IN)
    with pytest.raises(BadInputError, match="in the library already"):
        keep_details(folder, None, Details("pat example", Handedness.RIGHT))


def test_a_minor_needs_a_guardian_whose_consent_alone_counts(folder):
    with pytest.raises(BadInputError, match="guardian's name"):
        keep_details(folder, None, Details("Kid", Handedness.RIGHT, is_minor=True))
    kid = keep_details(folder, None, Details("Kid", Handedness.RIGHT, is_minor=True, guardian="Mo Example"))
    with pytest.raises(BadInputError, match="must come from the guardian, Mo Example"):
        keep_consent(folder, kid.id, Consent("Kid", TODAY, frozenset({Purpose.SHARE})))
    kid = keep_consent(folder, kid.id, Consent("Mo Example", TODAY, frozenset()))  # asked, refused: on record
    assert kid.consent is not None
    assert not any(kid.allows(purpose, TODAY) for purpose in Purpose)
    kid = keep_consent(folder, kid.id, Consent("Mo Example", TODAY, frozenset({Purpose.SHARE})))
    assert kid.allows(Purpose.SHARE, TODAY)
    assert not end_consent(folder, kid.id).allows(Purpose.SHARE, TODAY)


def test_forgetting_asks_for_the_name(folder):
    pupil = keep_details(folder, None, WALK_IN)
    keep_private_note(folder, pupil.id, "hurts-zq7")
    with Library.open(folder) as library:
        library.add_lesson(Lesson("l1", pupil.id, TODAY))
    to_forget = look_before_forgetting(folder, pupil.id)
    assert to_forget.removal == Forgotten(pupil.id, n_lessons=1, n_clips=0, out_of_reach=())
    with pytest.raises(BadInputError, match="nothing was removed"):
        forget_named(folder, pupil.id, "Pat")
    assert look_before_forgetting(folder, pupil.id) == to_forget
    assert forget_named(folder, pupil.id, "Pat Example ").n_lessons == 1
    left = b"".join(path.read_bytes() for path in folder.rglob("*") if path.is_file())
    assert b"Pat Example" not in left
    assert b"hurts-zq7" not in left


def test_forgetting_is_not_stopped_half_way(folder, tmp_path):
    from review.errors import Cancelled
    from review.jobs.adding import add_lesson
    from review.jobs.lesson_plan import LessonPlan, PupilPlan
    from review.jobs.sample import find_sample_lesson

    clips = tuple(sorted((find_sample_lesson().parent / "clips").glob("*.mp4"))[:2])
    with Library.open(folder) as library:
        pupil = add_lesson(library, LessonPlan(PupilPlan("Pat Example", Handedness.RIGHT), TODAY, clips)).pupil
    seen = []

    def stop(done: int, total: int) -> None:
        seen.append((done, total))
        raise Cancelled("Stopped.")

    assert forget_named(folder, pupil.id, "Pat Example", stop).n_clips == 2
    assert seen == [(1, 3), (2, 3)]
    assert not list((folder / "clips").iterdir())
