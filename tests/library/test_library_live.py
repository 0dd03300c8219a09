"""What a lesson that is followed as it happens keeps, and that forgetting takes it along."""

from contextlib import suppress
from dataclasses import replace
from datetime import datetime, timedelta

from library_samples import clip, fill, measure, shot, swing

from review.errors import MachineError
from review.lesson import Arrival, Drawing, DrawingKind, KeyFrame, LiveLesson, Said, SwingKind, Watched
from review.library import Library

TEN = datetime(2026, 3, 14, 10)


def live(lesson_id: str = "l1") -> LiveLesson:
    watched = Watched((("/clips/front", "front"), ("/clips", "")), (("behind", "*_b.mp4"),), "shots.csv", "map.toml")
    return LiveLesson(lesson_id, TEN, None, watched, frozenset({"ab", "cd"}))


def test_a_followed_lesson_is_there_after_reopening(tmp_path):
    arrival = Arrival("c1", TEN + timedelta(seconds=2.5), "/clips/a.mp4", 123, 456)
    with Library.open(tmp_path) as library:
        fill(library)
        library.set_live_lesson(live())
        library.note_arrival("l1", arrival)
        library.say("l1", [Said("c1", "kind", "drill"), Said("c1", "kind", "shot"), Said("r1", "batch", "b2", "clock")])
    with Library.open(tmp_path) as library:
        assert library.live_lessons() == (live(),)
        assert library.arrivals("l1") == (arrival,)
        assert library.find_arrival("/clips/a.mp4") == arrival
        assert library.find_arrival("/clips/b.mp4") is None
        assert library.said("l1") == (Said("c1", "kind", "shot"), Said("r1", "batch", "b2", "clock"))
        ended = replace(live(), ended_at=TEN + timedelta(hours=1))
        library.set_live_lesson(ended)
        assert library.live_lessons() == (ended,)


def test_the_first_time_of_an_arrival_counts(tmp_path):
    with Library.open(tmp_path) as library:
        fill(library)
        library.note_arrival("l1", Arrival("c1", TEN, "/clips/tmp1.mp4", 5, 6))
        library.note_arrival("l1", Arrival("c1", TEN + timedelta(hours=1), "/clips/a.mp4", 7, 8))
        assert library.arrivals("l1") == (Arrival("c1", TEN, "/clips/a.mp4", 7, 8),)


def test_forgetting_takes_all_of_it(tmp_path):
    with Library.open(tmp_path) as library:
        fill(library)
        library.set_live_lesson(live())
        library.note_arrival("l1", Arrival("c1", TEN))
        library.say("l1", [Said("c1", "kind", "drill")])
        library.forget_pupil(library.lesson("l1").pupil_id)
        for table in ("live_lesson", "arrival", "said"):
            assert library._connection.execute(f"SELECT COUNT(*) FROM {table}").fetchone()[0] == 0


def test_removing_a_clip_leaves_no_copy_but_others_keep_theirs(tmp_path):
    source = tmp_path / "a.mp4"
    source.write_bytes(b"not a video, but a file")
    with Library.open(tmp_path / "library") as library:
        fill(library)
        sha256, file = library.store_clip_file(source)
        known = clip("c1")
        library.add_clip("l1", replace(known, id="x", sha256=sha256, file=file))
        library.add_clip("l1", replace(known, id="y", sha256=sha256, file=file))
        library.save_arrays("landmarks", "k", {}, clip_content=sha256)
        kept = library.derived_file("landmarks", "k")
        assert library.remove_clip("x") == ()
        assert (library.folder / file).exists()
        assert kept.exists()
        left = library.remove_clip("y")
        for one in left:
            library.drop_unused_file(one)
        assert not (library.folder / file).exists()
        assert not kept.exists()
        assert {clip.id for clip in library.clips("l1")}.isdisjoint({"x", "y"})


def test_a_removal_that_is_undone_keeps_the_files_and_one_that_was_kept_is_finished_by_the_next_opening(
    tmp_path, monkeypatch
):
    source = tmp_path / "a.mp4"
    source.write_bytes(b"not a video, but a file")
    with Library.open(tmp_path / "library") as library:
        fill(library)
        sha256, file = library.store_clip_file(source)
        library.add_clip("l1", replace(clip("x"), sha256=sha256, file=file))
        library.save_arrays("landmarks", "k", {}, clip_content=sha256)
        kept = (library.folder / file, library.derived_file("landmarks", "k"))
        with suppress(MachineError), library.transaction():
            library.remove_clip("x")
            raise MachineError("The disk is full.")
        assert [one.id for one in library.clips("l1")] == ["x"]
        assert all(path.exists() for path in kept)
        assert library.load_arrays("landmarks", "k") is not None
        assert len(library.remove_clip("x")) == 2  # and here the run is stopped
    monkeypatch.setattr("review.library.files.is_alive", lambda *_: False)
    with Library.open(tmp_path / "library") as library:
        assert library.clips("l1") == ()
        assert not any(path.exists() for path in kept)


def test_a_clip_that_takes_anothers_place_has_all_that_the_coach_did_with_it(tmp_path):
    marks = (KeyFrame("top", 1.0, 60, 1.0, "coach"), KeyFrame("impact", 1.3, 78, 0.9, "pose"))
    drawn = Drawing("d", DrawingKind.LINE, ((0.1, 0.1), (0.5, 0.5)), 0.0, 1.0)
    with Library.open(tmp_path) as library:
        fill(library)
        library.add_clip("l1", clip("short"))
        library.add_shots("l1", [shot("r1", 1)])
        known = swing("s1", 1, clips=(clip("short"),), shot=shot("r1", 1), kind=SwingKind.DRILL, pairing_source="coach")
        library.replace_swings("l1", [known])
        library.say("l1", [Said("short", "kind", "drill")])
        library.set_key_frames("short", marks)
        library.add_drawing("short", drawn)
        library.set_measures("s1", [measure()], "body 1")
        library.replace_clip("short", clip("long"))
        assert library.swings("l1") == (replace(known, clips=(clip("long"),)),)
        assert library.clips("l1") == (clip("long"),)
        assert library.said("l1") == (Said("long", "kind", "drill"),)
        assert library.key_frames("long") == marks[:1]
        assert library.drawings("long") == (drawn,)
        assert library.measures("l1") == {}
