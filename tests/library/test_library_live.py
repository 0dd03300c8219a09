"""What a lesson that is followed as it happens keeps, and that forgetting takes it along."""

from dataclasses import replace
from datetime import datetime, timedelta

from library_samples import clip, fill

from review.lesson import Arrival, LiveLesson, Said, Watched
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
        library.remove_clip("x")
        assert (library.folder / file).exists()
        assert kept.exists()
        library.remove_clip("y")
        assert not (library.folder / file).exists()
        assert not kept.exists()
        assert {clip.id for clip in library.clips("l1")}.isdisjoint({"x", "y"})
