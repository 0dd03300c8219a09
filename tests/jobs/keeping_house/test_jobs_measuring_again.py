"""Measuring again: beside the numbers in use, each clip once, accepted or dropped, after any stop.

The landmarks are those of a rendered swing, so that no pose model runs; the older method is today's numbers moved.
"""

import math
import shutil
import sys
from concurrent.futures import Future
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from made_library import check_whole, kill_at_random

from review.errors import Cancelled
from review.jobs.adding import add_lesson
from review.jobs.keeping_house import measuring_again
from review.jobs.keeping_house.measuring_again import accept, drop, list_old, measure_again, measure_one_again
from review.jobs.keeping_house.what_changed import list_changes
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.jobs.measuring.kept_landmarks import save_landmarks
from review.jobs.measuring.whole_lesson import measure_lesson, name_method
from review.lesson import Consent, Handedness, KeyFrame, Lesson, Purpose
from review.library import Library
from review.pose import Effort
from review.progress import silent
from tests.jobs.slow_clips import SAMPLE

DAYS = (date(2026, 3, 14), date(2026, 4, 18))
_MOVED_DEG = 2.0


@pytest.fixture(scope="module")
def prepared(tmp_path_factory, face_on) -> Path:
    """Two lessons of the same clip, measured thoroughly, as an older method would have measured them."""
    folder = tmp_path_factory.mktemp("prepared") / "library"
    with Library.open(folder) as library:
        for day in DAYS:
            consent = Consent("Test", DAYS[0], frozenset({Purpose.MEASURE}))
            plan = LessonPlan(PupilPlan("Test", Handedness.RIGHT, 1.78, consent), day, (SAMPLE,))
            lesson = add_lesson(library, plan).lesson
            for kept in library.clips(lesson.id):
                library.update_clip(replace(kept, time_scale_source="coach"))
                save_landmarks(library, kept, Effort.THOROUGH, Handedness.RIGHT, face_on.track)
            measure_lesson(library, lesson, Effort.THOROUGH)
        library._execute("UPDATE measure SET method = 'body 4 thorough', value = value - ?", (_MOVED_DEG,))
        library._execute("UPDATE key_frame SET time_s = time_s + 0.01")
    return folder


def _run_here(tasks, lengths, progress, ended) -> None:
    """One after another in this process; what a process of its own does is tested with `measure`."""
    for n, (key, task) in enumerate(tasks.items()):
        progress(n, len(tasks))
        future: Future[int] = Future()
        try:
            future.set_result(task(silent))
        except Exception as error:  # noqa: BLE001 - as a process would hand it on
            future.set_exception(error)
        ended(key, future)


@pytest.fixture(autouse=True)
def _here(monkeypatch):
    monkeypatch.setattr(measuring_again, "run_apart", _run_here)


@pytest.fixture(scope="module")
def measured(prepared, tmp_path_factory) -> Path:
    """The same, measured again: new numbers wait."""
    folder = tmp_path_factory.mktemp("measured") / "library"
    shutil.copytree(prepared, folder)
    with Library.open(folder) as library:
        lessons = library.lessons()
    assert [measure_one_again(folder, lesson.id) for lesson in lessons] == [1, 1]
    return folder


@pytest.fixture
def library(prepared, tmp_path):
    shutil.copytree(prepared, tmp_path / "library")
    with Library.open(tmp_path / "library") as opened:
        yield opened


@pytest.fixture
def waiting(measured, tmp_path):
    shutil.copytree(measured, tmp_path / "library")
    with Library.open(tmp_path / "library") as opened:
        yield opened


def _numbers(library: Library, lesson: Lesson) -> dict[tuple[str, str], float]:
    (measures,) = library.measures(lesson.id).values()
    return {(m.name, m.key_frame): m.value for m in measures if not math.isnan(m.value)}


def _methods(library: Library) -> set[str]:
    found = (library.measure_methods(lesson.id) for lesson in library.lessons())
    return {method for made in found for methods in made.values() for method in methods}


def test_old_numbers_stay_in_use_until_accepted(library: Library) -> None:
    first, second = library.lessons()
    before = _numbers(library, first)
    done = measure_again(library.folder)
    assert (done.n_measured, done.problems) == (2, ())
    assert _numbers(library, first) == before
    assert _methods(library) == {"body 4 thorough"}
    n_waiting, n_trouble, changes = list_changes(library)
    assert (n_waiting, n_trouble) == (2, 0)
    assert {(c.name, c.key_frame) for c in changes if c.n_swings} == before.keys()
    for change in changes:
        if change.n_swings:
            assert change.typical == pytest.approx(_MOVED_DEG)
            assert change.largest == pytest.approx(_MOVED_DEG)
            assert (change.n_gained, change.n_lost) == (0, 0)
    assert accept(library).n_accepted == 2
    for lesson in (first, second):
        assert _methods(library) == {name_method(Effort.THOROUGH)}
        assert _numbers(library, lesson) == {key: pytest.approx(value + _MOVED_DEG) for key, value in before.items()}
    assert list_changes(library)[0] == 0
    assert measure_again(library.folder).n_measured == 0  # nothing is left to do


def test_key_frames_of_a_side_without_numbers_are_renewed_too(library: Library, monkeypatch) -> None:
    lesson = library.lessons()[0]
    (clip,) = library.clips(lesson.id)
    old = library.key_frames(clip.id)

    def measure_as_if_beside(*given, keep, **more):
        def keep_beside(library, lesson, results):
            moved = [(swing, replace(m, clips=(), beside=m.clips), *rest) for swing, m, *rest in results]
            return keep(library, lesson, moved)

        return measure_lesson(*given, keep=keep_beside, **more)

    monkeypatch.setattr(measuring_again, "measure_lesson", measure_as_if_beside)
    assert measure_one_again(library.folder, lesson.id) == 1
    assert library.key_frames(clip.id) == old
    accept(library)
    new = library.key_frames(clip.id)
    assert [key.time_s for key in new] == pytest.approx([key.time_s - 0.01 for key in old])


def test_dropped_the_old_stay_and_can_be_measured_again(waiting: Library) -> None:
    library = waiting
    before = [_numbers(library, lesson) for lesson in library.lessons()]
    assert drop(library) == 2
    assert [_numbers(library, lesson) for lesson in library.lessons()] == before
    assert accept(library).n_accepted == 0
    assert measure_again(library.folder).n_measured == 2


def test_marks_of_the_coach_survive_and_are_measured_from(library: Library) -> None:
    lesson = library.lessons()[0]
    (clip,) = library.clips(lesson.id)
    library.set_key_frames(clip.id, [KeyFrame("top", 0.5, 30, 1.0, "coach", "mine")])
    measure_again(library.folder)
    accept(library)
    marks = [key for key in library.key_frames(clip.id) if key.source == "coach"]
    assert [(key.name, key.time_s, key.note) for key in marks] == [("top", 0.5, "mine")]
    assert sum(key.name == "top" for key in library.key_frames(clip.id)) == 1


def test_what_changed_meanwhile_is_not_accepted_but_measured_again(waiting: Library) -> None:
    library = waiting
    first, second = library.lessons()
    (clip,) = library.clips(first.id)
    library.set_key_frames(clip.id, [KeyFrame("top", 0.5, 30, 1.0, "coach")])
    done = accept(library)
    assert (done.n_accepted, done.n_changed_since) == (1, 1)
    assert (len(list_old(library, first)), len(list_old(library, second))) == (1, 0)
    assert measure_again(library.folder).n_measured == 1


def test_each_clip_and_lesson_once_after_a_stop(library: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    def stop(done: int, total: int) -> None:
        if done:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        measure_again(library.folder, stop)
    first, second = library.lessons()
    assert (len(library.waiting(first.id)), len(library.waiting(second.id))) == (1, 0)
    measured: list[str] = []

    def measure_one(folder: Path, lesson_id: str, progress) -> int:
        measured.append(lesson_id)
        return measure_one_again(folder, lesson_id, progress)

    monkeypatch.setattr(measuring_again, "measure_one_again", measure_one)
    assert measure_again(library.folder).n_measured == 1
    assert measured == [second.id]


def test_landmarks_are_found_once_where_there_are_none(library: Library, monkeypatch, face_on) -> None:
    for kept in (library.folder / "derived" / "landmarks").iterdir():
        kept.unlink()
    found: list[str] = []

    def find(opened, clip, handedness, effort, progress):
        found.append(clip.content)
        save_landmarks(opened, clip, effort, handedness, face_on.track)

    monkeypatch.setattr(measuring_again, "find_landmarks", find)
    assert measure_again(library.folder).n_measured == 2
    assert len(found) == 1  # both lessons show the same clip


def test_let_go_clips_and_missing_consent_leave_the_numbers(library: Library) -> None:
    first, second = library.lessons()
    before = _numbers(library, first)
    library._execute("UPDATE clip SET let_go_on = '2026-11-01' WHERE lesson_id = ?", (first.id,))
    assert measure_again(library.folder).n_measured == 1
    assert list_changes(library)[:2] == (1, 1)
    accept(library)
    assert _numbers(library, first) == before
    library._execute("UPDATE measure SET method = 'body 4 thorough'")
    library._execute("UPDATE pupil SET consent_withdrawn = '2026-11-01'")
    done = measure_again(library.folder)
    assert done.n_measured == 0
    assert any("no consent" in problem for problem in done.problems)


def test_forgetting_takes_what_waits(waiting: Library) -> None:
    library = waiting
    library.forget_pupil(library.pupils()[0].id)
    assert library._execute("SELECT COUNT(*) FROM measured_again").fetchone()[0] == 0


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork")
def test_killed_at_random_moments_nothing_is_lost(waiting: Library, monkeypatch: pytest.MonkeyPatch) -> None:
    """Measuring itself takes no time here: it is when rows are written that a kill could do harm."""
    folder, lessons = waiting.folder, waiting.lessons()
    before = [_numbers(waiting, lesson) for lesson in lessons]
    found = {lesson.id: waiting.waiting(lesson.id) for lesson in lessons}
    after = [{key: pytest.approx(value + _MOVED_DEG) for key, value in numbers.items()} for numbers in before]
    waiting.close()

    def put_aside(folder: Path, lesson_id: str, progress) -> int:
        with Library.open(folder) as opened:
            opened.put_aside(list(found[lesson_id].values()))
        return 1

    monkeypatch.setattr(measuring_again, "measure_one_again", put_aside)

    def work() -> None:
        measure_again(folder)
        with Library.open(folder) as opened:
            accept(opened)

    def check() -> None:
        check_whole(folder)
        with Library.open(folder) as opened:
            for n, lesson in enumerate(lessons):
                # a lesson has its old numbers or its new ones, never some of each
                is_new = opened.measure_methods(lesson.id) != dict.fromkeys(
                    opened.measure_methods(lesson.id), frozenset({"body 4 thorough"})
                )
                assert _numbers(opened, lesson) == (after if is_new else before)[n]
            measure_again(folder)
            accept(opened)
            assert [_numbers(opened, lesson) for lesson in lessons] == after
            opened._execute("UPDATE measure SET method = 'body 4 thorough', value = value - ?", (_MOVED_DEG,))

    kill_at_random(work, check, 20, seed=11)
