"""A long recording in a lesson: its clips, what is kept of it, what forgetting takes; each picture has its number."""

import hashlib
import os
from dataclasses import replace
from datetime import date, datetime, time
from fractions import Fraction
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.measuring.kept_landmarks import load_landmarks, save_landmarks
from review.jobs.moving.swings import move_swings
from review.jobs.pairing.clock_moments import as_datetime, as_moment
from review.jobs.recordings import cutting
from review.lesson import Handedness, Shot, Swing, SwingKind
from review.library import Library
from review.media import FrameReader, probe_video, read_frames
from review.pose import Effort
from review.swing.search import FoundSwing
from tests.media.media_clips import H264_B, click_at, make_clip, number_in

DAY = date(2026, 3, 14)
NAME = "2026-03-14 10.15.00.mp4"
FOUND = (FoundSwing(2.0, 7.0, 5.0, 5.01), FoundSwing(8.0, 13.0, 11.0, None), FoundSwing(14.0, 19.0, 17.0, 17.02))


@pytest.fixture(scope="module")
def recording(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """24 s at 30 pictures a second, a keyframe in each second."""
    path = tmp_path_factory.mktemp("made") / NAME
    options = H264_B | {"g": "30"}
    make_clip(path, tuple(range(0, 720 * 512, 512)), Fraction(1, 15360), options=options, sound=click_at(5.01, 24.0))
    return path


@pytest.fixture
def library(tmp_path: Path):
    with Library.open(tmp_path / "library") as opened:
        yield opened


@pytest.fixture(autouse=True)
def searches(monkeypatch: pytest.MonkeyPatch) -> list[tuple[float, float] | None]:
    """In place of the search: what it finds between the limits; the limits asked for are kept."""
    asked: list[tuple[float, float] | None] = []

    def search(path, info, time_scale, progress, limits_s):
        asked.append(limits_s)
        begin_s, end_s = limits_s or (0.0, 24.0)
        progress(1, 1)
        return tuple(s for s in FOUND if begin_s <= s.impact_s < end_s)

    monkeypatch.setattr(cutting, "search_recording", search)
    return asked


def plan(*clips: Path, name: str = "Anna", **more) -> LessonPlan:
    return LessonPlan(PupilPlan(name, Handedness.RIGHT, 1.7), DAY, clips, **more)


def files(library: Library) -> list[Path]:
    return sorted((library.folder / "clips").iterdir())


def numbers(library: Library, lesson_id: str) -> list[list[int]]:
    return [[number_in(f.rgb) for f in read_frames(library.footage_of(c))] for c in library.clips(lesson_id)]


EXPECTED = [list(range(60, 210)), list(range(240, 390)), list(range(420, 570))]


@pytest.mark.parametrize("keep", [True, False, None])
def test_clips_are_parts_with_the_same_frames_however_it_is_kept(library, recording, keep) -> None:
    done = add_lesson(library, plan(recording, keep_recordings=keep))
    clips = library.clips(done.lesson.id)
    assert numbers(library, done.lesson.id) == EXPECTED
    assert [(c.n_frames, round(c.duration_s, 3), c.strike_s) for c in clips] == [
        (150, 5.0, 5.01),
        (150, 5.0, None),
        (150, 5.0, 17.02),
    ]
    whole = hashlib.sha256(recording.read_bytes()).hexdigest()
    assert {c.recording for c in clips} == {whole}
    assert [f.stem == whole for f in files(library)] == ([True] if keep else [False] * 3)
    assert [s.kind.value for s in done.matched.swings] == ["shot", "practice", "shot"]
    with FrameReader(library.footage_of(clips[1])) as reader:
        assert number_in(reader.frame(149).rgb) == 389


def test_copies_of_parts_hold_the_packets_of_the_recording(library, recording) -> None:
    add_lesson(library, plan(recording))
    assert sum(f.stat().st_size for f in files(library)) < 1.2 * recording.stat().st_size
    for file in files(library):
        with FrameReader(recording) as whole, FrameReader(file) as part:
            first = int(np.searchsorted(whole.info.time_s, part.info.time_s[0] - 1e-6))
            for i in (0, 40, 100):
                np.testing.assert_array_equal(part.frame(i).rgb, whole.frame(first + i).rgb)


def test_clips_of_one_recording_share_no_landmarks(library, recording, face_on) -> None:
    done = add_lesson(library, plan(recording, keep_recordings=True))
    first, second, _ = library.clips(done.lesson.id)
    assert first.sha256 == second.sha256
    save_landmarks(library, first, Effort.QUICK, Handedness.RIGHT, face_on.track)
    assert load_landmarks(library, first, Handedness.RIGHT) is not None
    assert load_landmarks(library, second, Handedness.RIGHT) is None
    # the same pictures in a file of their own: nothing has to be found again
    add_lesson(library, plan(recording, keep_recordings=False))
    moved = library.clips(done.lesson.id)[0]
    assert moved.sha256 != first.sha256
    assert load_landmarks(library, moved, Handedness.RIGHT) is not None


def test_adding_again_searches_nothing_and_the_coach_may_change_what_is_kept(library, recording, searches) -> None:
    lesson = add_lesson(library, plan(recording)).lesson
    before = library.clips(lesson.id)
    again = add_lesson(library, plan(recording))
    assert (again.n_new_clips, len(searches)) == (0, 1)
    assert any("searched before" in note for note in again.notes)
    for keep, n_files in ((True, 1), (None, 1), (False, 3), (None, 3)):
        assert add_lesson(library, plan(recording, keep_recordings=keep)).n_new_clips == 0
        assert len(files(library)) == n_files
        assert numbers(library, lesson.id) == EXPECTED
    assert [c.id for c in library.clips(lesson.id)] == [c.id for c in before]


def test_a_recording_that_shows_a_second_pupil_is_kept_whole_for_nobody(library, recording) -> None:
    anna = add_lesson(library, plan(recording, keep_recordings=True, ends=time(10, 15, 12)))
    assert len(files(library)) == 1
    berta = add_lesson(library, plan(recording, name="Berta", keep_recordings=True, begins=time(10, 15, 12)))
    assert any("another pupil's lesson" in note for note in berta.notes)
    assert numbers(library, anna.lesson.id) == EXPECTED[:2]
    assert numbers(library, berta.lesson.id) == EXPECTED[2:]
    assert len(files(library)) == 3
    library.forget_pupil(anna.pupil.id)
    assert len(files(library)) == 1
    assert numbers(library, berta.lesson.id) == EXPECTED[2:]


def test_swings_moved_to_another_pupil_leave_no_recording_of_both(library, recording) -> None:
    anna = add_lesson(library, plan(recording, keep_recordings=True))
    berta = move_swings(library, anna.lesson, {3}, PupilPlan("Berta", Handedness.RIGHT, 1.7))
    assert numbers(library, anna.lesson.id) == EXPECTED[:2]
    assert numbers(library, berta.lesson.id) == EXPECTED[2:]
    assert len(files(library)) == 3
    library.forget_pupil(anna.pupil.id)
    assert len(files(library)) == 1


def test_forgetting_takes_the_recording_with_the_last_clip_of_it(library, recording, face_on) -> None:
    done = add_lesson(library, plan(recording, keep_recordings=True))
    for clip in library.clips(done.lesson.id):
        save_landmarks(library, clip, Effort.QUICK, Handedness.RIGHT, face_on.track)
    library.forget_pupil(done.pupil.id)
    assert files(library) == []
    assert not [p for p in (library.folder / "derived").rglob("*") if p.is_file()]


def test_landmarks_of_one_part_go_though_another_pupil_has_a_part_of_the_same_file(library, recording, face_on) -> None:
    done = add_lesson(library, plan(recording, keep_recordings=True))
    other = add_lesson(library, plan(name="Berta"))
    clips = library.clips(done.lesson.id)
    # as a library of another version might hold it: one file, clips of two pupils
    library.add_clip(other.lesson.id, replace(clips[2], id="berta's", begin_s=20.0, end_s=22.0))
    for clip in (*clips, library.clips(other.lesson.id)[0]):
        save_landmarks(library, clip, Effort.QUICK, Handedness.RIGHT, face_on.track)
    library.forget_pupil(done.pupil.id)
    assert len(files(library)) == 1
    assert len([p for p in (library.folder / "derived").rglob("*") if p.is_file()]) == 1


def test_limits_of_the_lesson_are_told_by_the_camera_clock(library, recording, searches, tmp_path) -> None:
    done = add_lesson(library, plan(recording, begins=time(10, 15, 8), ends=time(10, 15, 13)))
    assert searches == [(8.0, 13.0)]
    assert len(library.clips(done.lesson.id)) == 1
    more = add_lesson(library, plan(recording, begins=time(10, 15, 0), ends=time(10, 15, 13)))
    assert more.n_new_clips == 1  # the swing that was there already is not taken twice
    with pytest.raises(BadInputError, match=r"begins at 10:15:00 .* leave nothing"):
        add_lesson(library, plan(recording, begins=time(11, 0)))
    nameless = tmp_path / "lesson.mp4"
    os.link(recording, nameless)
    with pytest.raises(BadInputError, match="does not say when"):
        add_lesson(library, plan(nameless, begins=time(10, 15)))


def test_two_recordings_at_the_same_time_are_two_cameras(library, recording, tmp_path) -> None:
    second = tmp_path / "2026-03-14 10.15.03.mp4"
    second.write_bytes(recording.read_bytes() + b"\0" * 8)
    later = tmp_path / "2026-03-14 10.16.00.mp4"
    later.write_bytes(recording.read_bytes() + b"\0" * 16)
    done = add_lesson(library, plan(recording, second, later))
    cameras = {c.captured_at.minute * 60 + c.captured_at.second: c.camera for c in library.clips(done.lesson.id)}
    assert cameras == {15 * 60: "cam1", 15 * 60 + 3: "cam2", 16 * 60: "cam1"}


def test_swings_of_two_cameras_started_apart_come_together(library, recording, tmp_path, monkeypatch) -> None:
    late_s = 1.0
    behind = tmp_path / "2026-03-14 10.15.01_cam2.mp4"
    behind.write_bytes(recording.read_bytes() + b"\0" * 8)

    def search(path, *rest):
        if path == recording:
            return FOUND
        shift = {"begin_s": -late_s, "end_s": -late_s, "impact_s": -late_s}
        moved = [replace(s, **{name: getattr(s, name) + by for name, by in shift.items()}) for s in FOUND]
        return tuple(replace(s, strike_s=None if s.strike_s is None else s.strike_s - late_s) for s in moved)

    monkeypatch.setattr(cutting, "search_recording", search)
    done = add_lesson(library, plan(recording, behind))
    assert [[c.camera for c in s.clips] for s in done.matched.swings] == [["cam1", "cam2"]] * 3
    assert [s.kind.value for s in done.matched.swings] == ["shot", "practice", "shot"]


def test_a_swing_of_a_recording_lies_on_the_clock_where_it_was_struck(library, recording) -> None:
    done = add_lesson(library, plan(recording))
    first, second, _ = (as_moment(clip) for clip in library.clips(done.lesson.id))
    assert as_datetime(first.strike_clock_s) == datetime(2026, 3, 14, 10, 15, 5, 10_000)
    # the parts begin halfway between two frames
    assert as_datetime(second.start_clock_s) == datetime(2026, 3, 14, 10, 15, 7, 983_333)
    assert second.end_clock_s - second.start_clock_s == pytest.approx(5.0, abs=1e-6)


def test_no_swing_in_a_long_recording_is_an_error_and_in_a_short_one_a_clip(library, recording, monkeypatch) -> None:
    monkeypatch.setattr(cutting, "search_recording", lambda *rest: ())
    done = add_lesson(library, plan(recording))
    (clip,) = library.clips(done.lesson.id)
    assert (clip.begin_s, clip.end_s, clip.n_frames) == (0.0, None, 720)
    assert any("No swing was found" in note for note in done.notes)
    monkeypatch.setattr(cutting, "MAY_BE_ONE_SWING_S", 20.0)
    with pytest.raises(BadInputError, match=r"No swing was found .*Nothing was added"):
        add_lesson(library, plan(recording, name="Berta"))
    assert [p.name for p in library.pupils()] == ["Anna"]


def test_doubts_become_one_question_for_each_reason(library, recording, monkeypatch) -> None:
    doubtful = [replace(s, strike_s=None, doubt="there is no sound to tell a struck ball") for s in FOUND]
    monkeypatch.setattr(cutting, "search_recording", lambda *rest: tuple(doubtful))
    done = add_lesson(library, plan(recording))
    (question,) = done.questions
    assert "swings 1, 2, 3 are practice" in question
    assert "--kind 1=practice" in question


def test_a_recording_of_which_most_swings_are_practice_is_asked_about_once(library, recording, monkeypatch) -> None:
    quiet = (FOUND[0], replace(FOUND[1], strike_s=None), replace(FOUND[2], strike_s=None))
    monkeypatch.setattr(cutting, "search_recording", lambda *rest: quiet)
    (question,) = add_lesson(library, plan(recording)).questions
    assert "swings 2, 3 are practice? No ball was heard in 2 of 3 swings" in question
    assert "--kind 2=shot" in question
    assert add_lesson(library, plan(recording)).questions == ()


def test_some_practice_is_plausible_unless_rows_have_no_swing(library, recording) -> None:
    done = add_lesson(library, plan(recording))
    assert done.questions == ()
    new = {clip.id for swing in done.matched.swings for clip in swing.clips}
    shot = Shot(id="row", row_number=9, table="shots.csv")
    row_left = Swing(id="left", order=4, shot=shot)
    (question,) = cutting.ask_about_practice(new, [*done.matched.swings, row_left])
    assert "Is swing 2 practice?" in question
    assert "a row has no swing" in question
    struck = [replace(swing, kind=SwingKind.SHOT) for swing in done.matched.swings]
    assert cutting.ask_about_practice(new, [*struck, row_left]) == ()


class Stopped(Exception):
    pass


@pytest.mark.parametrize("keep", [True, False])
def test_stopping_while_parts_are_copied_leaves_no_file(library, recording, keep) -> None:
    calls = 0

    def stop(done: int, total: int) -> None:
        nonlocal calls
        calls += 1
        if calls > 3:
            raise Stopped

    with pytest.raises(Stopped):
        add_lesson(library, plan(recording, keep_recordings=keep), stop)
    assert library.pupils() == ()
    assert not [f for f in files(library) if f.suffix == ".part"]
    folder = library.folder
    library._execute("UPDATE stored SET process = 999999999")  # as after this process has ended
    library.close()
    with Library.open(folder) as reopened:
        assert files(reopened) == []


def test_a_short_clip_is_no_recording(library, tmp_path, searches) -> None:
    short = make_clip(tmp_path / "20260314_101500.mp4", tuple(range(0, 90 * 512, 512)), Fraction(1, 15360)).path
    done = add_lesson(library, plan(short))
    assert searches == []
    assert library.clips(done.lesson.id)[0].n_frames == probe_video(short).n_frames
