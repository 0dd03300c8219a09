"""What is put into the library comes out of it unchanged, also after it was closed."""

import math
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np
import pytest
from library_samples import clip, fill, lesson, measure, pupil, shot, swing, trace

from review.errors import BadInputError
from review.lesson import (
    Batch,
    Bound,
    Consent,
    Drawing,
    DrawingKind,
    Handedness,
    KeyFrame,
    Measure,
    Pupil,
    Purpose,
    SwingKind,
    View,
)
from review.library import Library


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    return tmp_path / "library"


def test_pupil_comes_back_with_consent_and_guardian(folder: Path) -> None:
    full = Pupil(
        "p1",
        "Ärmel O'Neil; DROP TABLE pupil",
        Handedness.LEFT,
        1.52,
        Consent("Mum", date(2026, 3, 1), frozenset({Purpose.KEEP, Purpose.SHARE}), date(2027, 3, 1), date(2026, 5, 2)),
        True,
        "Mum",
        "knee",
    )
    bare = Pupil("p2", "walk-in", Handedness.RIGHT)
    with Library.open(folder) as library:
        library.add_pupil(full)
        library.add_pupil(bare)
    with Library.open(folder, create=False) as library:
        assert library.pupil("p1") == full
        assert library.pupils() == (bare, full)  # by name, capital letters or not; Ä after z as SQLite sorts bytes
        assert library.find_pupils("ÄRM") == (full,)
        changed = replace(full, consent=None, private_note="")
        library.update_pupil(changed)
        assert library.pupil("p1") == changed


def test_lesson_comes_back_and_is_found(folder: Path) -> None:
    first, second = lesson("aa11", held_on=date(2026, 3, 14)), lesson("ab22", held_on=date(2026, 2, 1))
    with Library.open(folder) as library:
        assert library.latest_lesson() is None
        with pytest.raises(BadInputError, match="no lesson"):
            library.find_lesson("last")
        library.add_pupil(pupil())
        library.add_lesson(first)
        library.add_lesson(second)
    with Library.open(folder) as library:
        assert library.lesson("aa11") == first
        assert library.lessons() == (second, first)
        assert library.lessons("nobody") == ()
        assert library.latest_lesson() == library.find_lesson("last") == first
        assert library.find_lesson("2026-02-01") == library.find_lesson("ab") == second
        with pytest.raises(BadInputError, match=r"Several.*aa11.*ab22|Several.*ab22.*aa11"):
            library.find_lesson("a")
        name = library.pupil(first.pupil_id).name
        assert library.find_lesson(name) == library.find_lesson(name[:-1].lower()) == first  # the latest of the pupil
        with pytest.raises(BadInputError, match="No lesson fits 'zz'"):
            library.find_lesson("zz")


def test_batches_change_places_and_a_gone_batch_frees_its_swings(folder: Path) -> None:
    with Library.open(folder) as library:
        fill(library)
        one, two = library.lesson("l1").batches
        library.replace_swings("l1", [swing("s1", 1, batch_id=one.id), swing("s2", 2, batch_id=two.id)])
        swapped = (replace(two, number=1), replace(one, number=2, feel="heavy", is_closed=False))
        library.set_batches("l1", swapped)
        assert library.lesson("l1").batches == swapped
        assert [s.batch_id for s in library.swings("l1")] == [one.id, two.id]
        library.set_batches("l1", [Batch(two.id, 1)])
        assert [s.batch_id for s in library.swings("l1")] == [None, two.id]


def test_swings_come_back_with_all_that_hangs_on_them(folder: Path) -> None:
    face, behind = clip("c1", camera="a", view=View.FACE_ON), clip("c2", camera="b", strike_s=1.25, time_scale=0.25)
    behind = replace(behind, time_scale_source="coach")
    loose_clip, loose_shot, loose_trace = clip("c3"), shot("r2", 2), trace("t2")
    full = swing(
        "s1",
        1,
        clips=(face, behind),
        shot=shot("r1", 1),
        trace=trace("t1"),
        pairing_probability=0.75,
        pairing_source="clock",
        left_out="topped",
    )
    empty = swing("s2", 2, kind=SwingKind.DEMONSTRATION)
    with Library.open(folder) as library:
        fill(library)
        for each in (face, behind, loose_clip):
            library.add_clip("l1", each)
        assert library.add_shots("l1", [shot("r1", 1), loose_shot]) == 2
        assert library.add_shots("l1", [shot("r1", 1), shot("r3", 3)]) == 1
        library.add_trace("l1", loose_trace)
        library.replace_swings("l1", [full, empty])
    with Library.open(folder) as library:
        got = library.swings("l1")
        assert replace(got[0], trace=None) == replace(full, trace=None)
        assert got[1] == empty
        assert got[0].trace is not None
        for name in ("time_s", "xy_cm", "force_n"):
            np.testing.assert_array_equal(getattr(got[0].trace, name), getattr(trace("t1"), name))
        assert {c.id for c in library.clips("l1")} == {"c1", "c2", "c3"}
        assert [s.id for s in library.shots("l1")] == ["r1", "r2", "r3"]
        assert {t.id for t in library.traces("l1")} == {"t1", "t2"}
        # a pairing the coach changes: nothing is lost, measures of a swing that stays stay
        library.set_measures("s1", [measure()], "body 1")
        library.replace_swings("l1", [swing("s1", 1, clips=(loose_clip,), shot=shot("r3", 3), trace=loose_trace)])
        (left,) = library.swings("l1")
        assert (left.clips, left.shot) == ((loose_clip,), shot("r3", 3))
        assert left.trace is not None
        assert left.trace.id == "t2"
        assert {c.id for c in library.clips("l1")} == {"c1", "c2", "c3"}
        assert {t.id for t in library.traces("l1")} == {"t1", "t2"}
        assert library.measures("l1") == {"s1": (measure(),)}


def test_swing_of_another_lesson_is_never_taken_over(folder: Path) -> None:
    with Library.open(folder) as library:
        fill(library)
        library.add_lesson(lesson("l2"))
        library.replace_swings("l1", [swing("s1", 1)])
        with pytest.raises(BadInputError, match="2026-03-14 already"):
            library.replace_swings("l2", [swing("s0", 1), swing("s1", 2)])
        assert library.swings("l2") == ()
        assert library.swings("l1") == (swing("s1", 1),)
        with pytest.raises(ValueError, match="clip c9 is not in this lesson"):
            library.replace_swings("l1", [swing("s1", 1, clips=(clip("c9"),))])


def test_clip_is_updated_in_place(folder: Path) -> None:
    with Library.open(folder) as library:
        fill(library)
        library.add_clip("l1", clip("c1"))
        library.replace_swings("l1", [swing("s1", 1, clips=(clip("c1"),))])
        seen = replace(clip("c1"), view=View.DOWN_THE_LINE, captured_at=None, strike_s=0.5)
        library.update_clip(seen)
        assert library.swings("l1")[0].clips == (seen,)
        with pytest.raises(BadInputError, match="no longer"):
            library.update_clip(clip("gone"))


def test_coach_marks_survive_found_key_frames(folder: Path) -> None:
    found = KeyFrame("impact", 1.0, 60, 0.9, "pose")
    top = KeyFrame("top", 0.7, 42, 0.6, "pose")
    own = KeyFrame("impact", 1.02, 61, 1.0, "coach")
    word = KeyFrame("wrists set", 0.5, 30, 1.0, "coach", "earlier than last time")
    with Library.open(folder) as library:
        fill(library)
        library.add_clip("l1", clip("c1"))
        library.set_key_frames("c1", [found, top])
        library.set_key_frames("c1", [own, word])
        assert library.key_frames("c1") == (word, own)
        library.set_key_frames("c1", [top, found])
        assert library.key_frames("c1") == (word, top, own)


def test_measures_keep_every_part_and_their_family(folder: Path) -> None:
    full = Measure("hip_turn_deg", 75.0, "impact", 60.0, 90.0, 4.0, 6.0, "set-up 1", Bound.AT_LEAST)
    absent = Measure("trail_heel_lift_cm", math.nan, why_missing="not seen from behind")
    tempo = Measure("tempo_ratio", 3.1)
    with Library.open(folder) as library:
        fill(library)
        library.replace_swings("l1", [swing("s1", 1)])
        library.set_measures("s1", [full, absent], "body 1 quick")
        library.set_measures("s1", [tempo], "timing 1")
    with Library.open(folder) as library:
        got = {m.name: m for m in library.measures("l1")["s1"]}
        assert got["hip_turn_deg"] == full
        lift = got["trail_heel_lift_cm"]
        assert all(math.isnan(v) for v in (lift.value, lift.low, lift.high))
        assert lift.why_missing == "not seen from behind"
        library.set_measures("s1", [replace(full, value=74.0)], "body 2 thorough")
        assert {m.name: m.value for m in library.measures("l1")["s1"]} == {"tempo_ratio": 3.1, "hip_turn_deg": 74.0}
        library.set_measures("s1", [], "bodywork")  # another family that begins alike
        assert len(library.measures("l1")["s1"]) == 2


def test_drawings_of_a_clip(folder: Path) -> None:
    line = Drawing("d1", DrawingKind.LINE, ((0.1, 0.2), (0.3, 0.4)), 0.5, 1.5, "", "trail heel", 0.75, 2)
    words = Drawing("d2", DrawingKind.TEXT, ((0.5, 0.5),), 0.0, 1.0, "hips first")
    with Library.open(folder) as library:
        fill(library)
        library.add_clip("l1", clip("c1"))
        library.add_drawing("c1", line)
        library.add_drawing("c1", words)
        assert library.drawings("c1") == (words, line)
        longer = replace(line, end_s=2.0)
        library.add_drawing("c1", longer)
        library.remove_drawing("c1", "d2")
        assert library.drawings("c1") == (longer,)


def test_what_cannot_be_kept_is_refused(folder: Path) -> None:
    with Library.open(folder) as library:
        fill(library)
        with pytest.raises(ValueError, match="refuses"):
            library.add_pupil(pupil())
        with pytest.raises(ValueError, match="refuses"):
            library.add_clip("no such lesson", clip("c1"))
        aware = replace(clip("c1"), captured_at=datetime(2026, 3, 14, 10, tzinfo=UTC))
        with pytest.raises(ValueError, match="naive local"):
            library.add_clip("l1", aware)
        with pytest.raises(BadInputError, match="no longer"):
            library.pupil("nobody")
        with pytest.raises(BadInputError, match="no longer"):
            library.lesson("none")
        assert library.clips("l1") == ()
