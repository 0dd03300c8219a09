"""Thinning: what was chosen stays, numbers stay, and what goes is said first."""

import shutil
import sys
from dataclasses import replace
from datetime import date, datetime
from pathlib import Path

import pytest
from made_library import LATELY, LONG_AGO, N_SWINGS, check_whole, kill_at_random, make_library, rows_of

from review.errors import BadInputError, Cancelled
from review.jobs.archives.packing import pack_lesson
from review.jobs.archives.unpacking import unpack_lesson
from review.jobs.keeping_house.backing_up import back_up
from review.jobs.keeping_house.thinning import choose_swings, look_before_thinning, set_rule, thin
from review.jobs.review_copies import open_frames
from review.lesson import Consent, Drawing, DrawingKind, KeyFrame, Purpose
from review.library import Library

TODAY = date(2026, 11, 26)
OLD = f"anna-{LONG_AGO}"


@pytest.fixture
def library(tmp_path: Path):
    make_library(tmp_path / "library", tmp_path / "originals")
    with Library.open(tmp_path / "library") as opened:
        yield opened


def _gone(library: Library) -> set[str]:
    return {clip_id for lesson in library.lessons() for clip_id in library.clips_let_go(lesson.id)}


def test_nothing_goes_without_a_rule_or_before_it_is_said(library: Library) -> None:
    assert look_before_thinning(library, TODAY).clips == ()
    assert thin(library, today=TODAY).clips == ()
    set_rule(library, 12)
    said = look_before_thinning(library, TODAY)
    assert (said.weeks, said.n_swings, _gone(library)) == (12, N_SWINGS, set())
    assert {clip.held_on for clip in said.clips} == {LONG_AGO}
    assert thin(library, today=TODAY) == said
    assert _gone(library) == {f"{OLD}-{n}" for n in range(1, N_SWINGS + 1)}
    assert look_before_thinning(library, TODAY).clips == ()
    set_rule(library, None)
    assert look_before_thinning(library, TODAY).weeks is None
    for weeks in (0, -3, 10_000):
        with pytest.raises(BadInputError, match="weeks"):
            set_rule(library, weeks)


def test_numbers_landmarks_and_everything_else_stay(library: Library) -> None:
    before, clips = rows_of(library.folder), library.clips(OLD)
    copies = sorted((library.folder / "derived" / "review_copy").iterdir())
    set_rule(library, 12)
    freed = thin(library, today=TODAY).size_bytes
    after = rows_of(library.folder)
    assert {t for t in before if before[t] != after[t]} == {"clip", "derived", "rule"}
    assert library.measures(OLD)
    for clip in clips:
        assert not library.path_of(clip).exists()
        assert library.load_arrays("landmarks", clip.sha256) is not None
        with pytest.raises(BadInputError, match="let go on 2026-11-26.*numbers are still here"):
            open_frames(library, clip)
    assert freed > 0
    assert len(sorted((library.folder / "derived" / "review_copy").iterdir())) == len(copies) - 2 * N_SWINGS
    check_whole(library.folder)


def test_what_was_chosen_drawn_marked_talked_over_or_given_away_stays(library: Library) -> None:
    set_rule(library, 12)
    lesson, clips = library.lesson(OLD), {clip.id: clip for clip in library.clips(OLD)}
    choose_swings(library, lesson, [1])
    library.add_drawing(f"{OLD}-2", Drawing("d", DrawingKind.TEXT, ((0.5, 0.5),), 0, 1, "words"))
    library.set_key_frames(f"{OLD}-3", [KeyFrame("top", 0.5, 30, 1.0, "coach")])
    assert {clip.file for clip in look_before_thinning(library, TODAY).clips} == {clips[f"{OLD}-4"].file}
    library.keep_swings([f"{OLD}-s4"], "take-home")
    assert thin(library, today=TODAY).clips == ()
    choose_swings(library, lesson, [1, 4], is_kept=False)
    assert {clip.file for clip in thin(library, today=TODAY).clips} == {clips[f"{OLD}-1"].file}
    with pytest.raises(BadInputError, match="no swing 9"):
        choose_swings(library, lesson, [2, 9])


def test_lesson_with_a_talk_or_an_earlier_take_home_stays_whole(library: Library) -> None:
    set_rule(library, 12)
    library.note_handout(OLD, "whole lesson in a.zip", "her", datetime(2025, 3, 15))
    assert len(look_before_thinning(library, TODAY).clips) == N_SWINGS
    library.note_handout(OLD, "take-home in folder", "her", datetime(2025, 3, 15))
    assert look_before_thinning(library, TODAY).clips == ()
    library.keep_swings([f"{OLD}-s2"], "take-home")  # a take-home of today's notes which swings it shows
    assert len(look_before_thinning(library, TODAY).clips) == N_SWINGS - 1
    library._execute("INSERT INTO talk_over VALUES ('t', ?, ?, '2025-03-14', '')", (OLD, f"{OLD}-v"))
    assert look_before_thinning(library, TODAY).clips == ()


def test_clip_that_a_later_lesson_shows_too_stays(library: Library) -> None:
    set_rule(library, 12)
    clip = library.clips(OLD)[0]
    library.add_clip(f"anna-{LATELY}", replace(clip, id="again"))
    assert clip.file not in {one.file for one in look_before_thinning(library, TODAY).clips}
    assert thin(library, today=TODAY).n_swings == N_SWINGS - 1


def test_clips_let_go_are_not_told_as_removed_by_forgetting(library: Library) -> None:
    set_rule(library, 12)
    before = library.look_before_forgetting("anna").n_clips
    gone = thin(library, today=TODAY).clips
    assert 0 < len(gone) < before
    assert library.look_before_forgetting("anna").n_clips == before - len(gone)


def test_brought_in_again_it_is_there_again(library: Library, tmp_path: Path) -> None:
    set_rule(library, 12)
    thin(library, today=TODAY)
    clip = library.clips(OLD)[0]
    sha256, file = library.store_clip_file(tmp_path / "originals" / clip.original_name)
    assert (sha256, file) == (clip.sha256, clip.file)
    assert library.clips_let_go(OLD).keys() == {other.id for other in library.clips(OLD)[1:]}
    library._execute("UPDATE stored SET process = 0, stored_s = 0")  # as when this run has ended
    with Library.open(library.folder):
        assert library.path_of(clip).exists()


def test_stopped_by_the_coach_the_oldest_are_gone_and_the_rest_is_there(library: Library) -> None:
    set_rule(library, 12)

    def stop(done: int, total: int) -> None:
        if done == 2:
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        thin(library, stop, TODAY)
    assert len(_gone(library)) == 2
    check_whole(library.folder)
    assert len(thin(library, today=TODAY).clips) == N_SWINGS - 2


def test_thinned_lesson_is_packed_without_its_clips_and_backed_up(library: Library, tmp_path: Path) -> None:
    pupil = replace(library.pupil("anna"), consent=Consent("Anna", LONG_AGO, frozenset(Purpose)))
    library.update_pupil(pupil)
    set_rule(library, 12)
    thin(library, today=TODAY)
    library.replace_said(OLD, ())  # its voice is none that could be heard
    packed = pack_lesson(library, library.lesson(OLD), tmp_path / "a.zip")
    assert packed.n_clips == 0
    assert any("let go" in note for note in packed.notes)
    with Library.open(tmp_path / "other") as other:
        unpack_lesson(other, tmp_path / "a.zip")
        assert [len(swing.clips) for swing in other.swings(OLD)] == [0] * N_SWINGS
        assert len(other.measures(OLD)) == N_SWINGS
    assert back_up(library, tmp_path / "backup").lost == ()


@pytest.mark.skipif(sys.platform in ("win32", "darwin"), reason="needs fork")
def test_killed_at_random_moments_no_clip_is_half_gone(tmp_path: Path) -> None:
    make_library(tmp_path / "library", tmp_path / "originals")
    n, prepared = 0, tmp_path / "library"

    def place() -> Path:
        return tmp_path / f"library-{n}"

    def prepare() -> None:
        shutil.copytree(prepared, place())

    def work() -> None:
        with Library.open(place()) as library:
            set_rule(library, 12)
            thin(library, today=TODAY)

    def check() -> None:
        nonlocal n
        check_whole(place())
        with Library.open(place()) as library:
            gone = _gone(library)
            for clip in library.clips(OLD):
                assert library.path_of(clip).exists() == (clip.id not in gone)
            set_rule(library, 12)
            thin(library, today=TODAY)
            assert len(_gone(library)) == N_SWINGS
        assert len(sorted((place() / "clips").iterdir())) == 2 * N_SWINGS
        n += 1
        prepare()

    prepare()
    kill_at_random(work, check, 10, seed=9)
