"""Clips as folders really deliver them: slow, renamed, deleted, twice, from cameras of one name, onto a full disk."""

from datetime import timedelta
from pathlib import Path

import av
import pytest
from watched_lesson import CAMERA_AHEAD_OF_HERE, CLIPS, Bay, began

from review.errors import MachineError
from review.jobs.lesson_file import PupilPlan
from review.jobs.live import ClipArrived, intake
from review.jobs.live.beginning import name_cameras
from review.jobs.live.filing import place_clips
from review.jobs.moving.swings import move_swings
from review.jobs.recordings.searching import LONG_S
from review.lesson import Handedness, KeyFrame, SwingKind
from review.library import Library

FREE_BOX = b"\x00\x00\x00\x10free" + bytes(8)  # belongs to no picture: the file reads as before
IN_PARTS = {"movflags": "empty_moov+default_base_moof", "frag_duration": "500000"}


class StillQueue:
    """Keeps what is to be measured, and measures nothing."""

    is_paused = False

    def __init__(self) -> None:
        self.orders = []

    def __len__(self) -> int:
        return 0

    def add(self, order) -> None:
        self.orders.append(order)

    def look(self):
        return (), ()


@pytest.fixture
def bay(tmp_path):
    made = Bay(tmp_path, begins="10:12:00")
    yield made
    made.close()


def copy_pictures(to: Path, slowed: int = 1, **more: object) -> Path:
    """Write the pictures of the sample's first clip anew, to be played slower."""
    with av.open(str(CLIPS[0])) as source, av.open(str(to), "w", **more) as out:
        pictures = source.streams.video[0]
        copy = out.add_stream_from_template(pictures)
        for packet in source.demux(pictures):
            if packet.dts is not None:
                packet.pts, packet.dts = packet.pts * slowed, packet.dts * slowed
                packet.duration = (packet.duration or 0) * slowed
                packet.stream = copy
                out.mux(packet)
    return to


def names(bay) -> list[str]:
    return [event.clip.original_name for event in bay.events(ClipArrived)]


def test_a_file_half_written_for_a_minute_is_told_once_and_taken_in_once_when_whole(bay):
    bay.open()
    whole = CLIPS[0].read_bytes()
    path = bay.clips / CLIPS[0].name
    path.write_bytes(whole[: len(whole) // 2])
    bay.wait(30)
    assert bay.notes() == []
    bay.wait(60)
    assert len(bay.notes(CLIPS[0].name)) == 1
    assert "cut short" in bay.notes()[0]
    assert names(bay) == []
    bay.drop(1)  # the next one does not wait for it
    bay.wait(2)
    assert names(bay) == [CLIPS[1].name]
    path.write_bytes(whole)
    bay.wait(20)
    assert names(bay) == [CLIPS[1].name, CLIPS[0].name]
    assert len(bay.notes()) == 1
    # filed by when it was filmed, not by when it was whole
    assert [swing.clips[0].original_name for swing in bay.swings] == [CLIPS[0].name, CLIPS[1].name]


def test_a_damaged_file_does_not_hold_up_the_end_once_it_was_told(bay):
    session = bay.open()
    path = bay.clips / CLIPS[0].name
    path.write_bytes(CLIPS[0].read_bytes()[:20_000])
    bay.wait(5)
    session.end()
    assert not session.is_settled  # it may still become whole
    bay.wait(90)
    assert len(bay.notes(CLIPS[0].name)) == 1
    assert session.is_settled
    assert session.files_left == (CLIPS[0].name,)
    path.write_bytes(CLIPS[0].read_bytes()[:40_000])
    bay.wait(2)
    assert not session.is_settled  # it is being written after all
    path.write_bytes(CLIPS[0].read_bytes())
    bay.wait(20)
    assert session.is_settled
    assert session.files_left == ()


def test_a_file_that_grows_bit_by_bit_is_not_tried_before_it_rests(bay):
    bay.open()
    whole = CLIPS[0].read_bytes()
    path = bay.clips / CLIPS[0].name
    for part in range(1, 9):
        path.write_bytes(whole[: len(whole) * part // 8])
        bay.wait(0.5)
        assert names(bay) == []
    bay.wait(2)
    assert names(bay) == [CLIPS[0].name]
    assert bay.notes() == []


def test_temporary_names_are_left_alone_and_a_rename_in_the_middle_of_copying_is_followed(bay):
    bay.open()
    whole = CLIPS[0].read_bytes()
    copying = bay.clips / f"{CLIPS[0].name}.part"
    copying.write_bytes(whole)
    (bay.clips / f".{CLIPS[0].name}").write_bytes(whole)
    bay.wait(5)
    assert names(bay) == []
    copying.write_bytes(whole[:-20_000])
    final = copying.rename(bay.clips / CLIPS[0].name)
    bay.wait(3)
    assert names(bay) == []
    final.write_bytes(whole)
    bay.wait(8)
    assert names(bay) == [CLIPS[0].name]


def test_a_clip_renamed_after_it_was_taken_in_is_not_taken_in_twice_and_gains_its_time(bay):
    bay.open()
    path = bay.drop(0, "clip.mp4")
    bay.wait(3)
    path.rename(bay.clips / CLIPS[0].name)
    bay.wait(3)
    assert len(bay.events(ClipArrived)) == 1
    clip = bay.swings[0].clips[0]
    assert clip.original_name == CLIPS[0].name
    assert clip.captured_at is not None


def test_files_that_go_again_leave_nothing(bay):
    bay.open()
    for i, seconds in ((0, 1.0), (1, 70.0)):
        path = bay.clips / CLIPS[i].name
        path.write_bytes(CLIPS[i].read_bytes()[:50_000])
        bay.wait(seconds)
        path.unlink()
        bay.wait(2)
    # the one that was told of is also told to be gone
    assert len(bay.notes("is gone")) == 1
    assert bay.swings == ()


def test_a_camera_that_always_writes_the_same_name(bay):
    bay.open()
    bay.drop(0, "last.mp4")
    bay.wait(3)
    bay.drop(1, "last.mp4")
    bay.wait(3)
    assert len(bay.library.clips(bay.lesson.id)) == 2


def test_a_long_recording_in_the_folder_is_told_and_left_for_add(bay, monkeypatch):
    monkeypatch.setattr(intake, "is_recording", lambda *_: True)  # without a film of minutes
    monkeypatch.setattr(intake, "MAY_BE_ONE_SWING_S", 2.95)
    bay.open()
    bay.drop(0)
    bay.drop(3)
    bay.wait(5)
    assert len(bay.notes(CLIPS[3].name, "lesson-review add")) == 1
    assert names(bay) == [CLIPS[0].name]


def test_a_swing_in_slow_motion_that_plays_for_longer_than_a_clip_is_taken_in_whole(bay):
    bay.wait_until(began(0) + timedelta(seconds=25))
    bay.open()
    slow = copy_pictures(bay.clips / CLIPS[0].name, slowed=8)
    bay.wait(5)
    (swing,) = bay.swings
    assert swing.clips[0].original_name == slow.name
    assert swing.clips[0].duration_s > LONG_S
    assert len(bay.notes(slow.name, "one swing")) == 1
    # how long it plays tells nothing of the camera's clock: it would be 20 s too far ahead
    (ahead_s,) = place_clips(bay.session._desk.arrived_clips()).cameras_ahead_s.values()
    assert ahead_s == pytest.approx(CAMERA_AHEAD_OF_HERE.total_seconds() - 26.0, abs=2.0)


def test_the_same_clip_in_two_folders_counts_once(bay):
    bay.open()
    bay.drop(0)
    bay.drop(0, f"copy/{CLIPS[0].name}")
    bay.wait(4)
    assert len(bay.library.clips(bay.lesson.id)) == 1


def test_two_cameras_of_one_name_are_told_apart(bay, tmp_path):
    folders = [tmp_path / "left" / "CAM", tmp_path / "right" / "CAM"]
    named, notes = name_cameras([(folder, folder.name) for folder in folders])
    assert [name for _, name in named] == ["CAM", "CAM 2"]
    assert len(notes) == 1
    for folder in folders:
        folder.mkdir(parents=True)
    bay.open(folders=named)
    for i, folder in ((1, folders[0]), (2, folders[1])):  # both views of one swing, under one file name
        (folder / CLIPS[1].name).write_bytes(CLIPS[i].read_bytes())
    bay.wait(4)
    assert [clip.camera for clip in bay.swings[0].clips] == ["CAM", "CAM 2"]


def test_a_clock_that_jumps_is_told_once_and_clips_go_by_their_arrival(bay):
    coach = bay.open().coach
    for i, until_next_s in ((0, 64), (1, 40), (3, 44)):
        bay.drop(i)
        bay.wait(until_next_s)
    coach.start_batch()
    bay.wait(10)
    for i, until_next_s in ((4, 64), (5, 10)):  # the camera's clock falls back by two hours
        bay.drop(i, CLIPS[i].name.replace("_10", "_08"))
        bay.wait(until_next_s)
    assert len(bay.notes("jumped")) == 1
    assert len(bay.events(ClipArrived)) == 5
    batch_of = {batch.id: batch.number for batch in bay.lesson.batches}
    assert [batch_of[swing.batch_id] for swing in bay.swings] == [1, 1, 1, 2, 2]


def test_a_full_disk_is_told_once_and_everything_is_taken_in_when_there_is_room(bay, monkeypatch):
    bay.open()
    real = Library.store_clip_file

    def full(*_):
        raise MachineError("The disk is full.")

    monkeypatch.setattr(Library, "store_clip_file", full)
    bay.drop(0)
    bay.wait(20)
    bay.drop(1)
    bay.wait(20)
    assert len(bay.notes("disk is full")) == 1
    monkeypatch.setattr(Library, "store_clip_file", real)
    bay.wait(40)
    assert sorted(names(bay)) == [CLIPS[0].name, CLIPS[1].name]
    assert len(bay.notes()) == 1


def test_a_disk_that_fills_while_swings_are_written_loses_nothing(bay, monkeypatch):
    bay.open()
    real = Library.replace_swings

    def full(*_):
        raise MachineError("The disk is full.")

    monkeypatch.setattr(Library, "replace_swings", full)
    bay.drop(0)
    bay.wait(20)
    assert len(bay.notes("disk is full")) == 1
    assert len(bay.library.clips(bay.lesson.id)) == 1
    monkeypatch.setattr(Library, "replace_swings", real)
    bay.wait(10)
    assert names(bay) == [CLIPS[0].name]


def test_a_folder_that_goes_and_comes_back(bay):
    bay.open()
    away = bay.clips.rename(bay.clips.with_name("unplugged"))
    bay.wait(5)
    away.rename(bay.clips)
    bay.drop(0)
    bay.wait(4)
    assert len(bay.notes("cannot be read")) == len(bay.notes("is back")) == 1
    assert names(bay) == [CLIPS[0].name]


def test_a_late_clip_of_the_pupil_before_is_filed_there_and_the_next_pupil_starts_clean(bay):
    bay.open()
    bay.drop(0)
    bay.add_row(0)
    bay.wait(5)
    first = bay.lesson.id
    half = CLIPS[1].read_bytes()
    late = bay.clips / CLIPS[1].name
    late.write_bytes(half[:-30_000])
    bay.wait(64)
    bay.open(pupil="Walk In")
    bay.wait(60)
    late.write_bytes(half)
    bay.wait(10)
    bay.wait_until(bay.time + timedelta(minutes=2))
    bay.drop(7)
    bay.wait(4)
    assert [clip.original_name for clip in bay.library.clips(first)] == [CLIPS[0].name, CLIPS[1].name]
    assert len(bay.notes("is filed there")) == 1
    assert [clip.original_name for clip in bay.library.clips(bay.lesson.id)] == [CLIPS[7].name]
    assert bay.library.shots(bay.lesson.id) == ()
    assert bay.library.live_lessons()[0].ended_at is not None


def test_a_clip_that_seemed_whole_and_grows_is_replaced_by_the_longer_one(bay, tmp_path):
    whole = tmp_path / "fragmented.mp4"
    copy_pictures(whole, options=IN_PARTS)
    content = whole.read_bytes()
    parts = [i - 4 for i in range(len(content)) if content[i : i + 4] == b"moof"]
    assert len(parts) > 2
    path = bay.clips / CLIPS[0].name
    bay.open()
    path.write_bytes(content[: parts[-1]])  # a writer that rests between two parts: such a file reads as whole
    bay.wait(5)
    (first,) = bay.library.clips(bay.lesson.id)
    path.write_bytes(content)
    bay.wait(5)
    (second,) = bay.library.clips(bay.lesson.id)
    assert second.n_frames > first.n_frames
    assert len(bay.notes("has grown")) == 1
    assert len(list((bay.library_folder / "clips").iterdir())) == 1
    assert [clip.id for clip in bay.swings[0].clips] == [second.id]


def test_a_clip_that_grows_stays_what_the_coach_said_it_is_and_is_measured_anew(bay):
    queue = StillQueue()
    coach = bay.open(queue=queue).coach
    path = bay.drop(0)
    bay.wait(5)
    coach.set_kind(SwingKind.DRILL)
    (before,) = bay.swings
    bay.library.set_key_frames(before.clips[0].id, [KeyFrame("top", 1.0, 60, 1.0, "coach")])
    bay.wait(60)
    with path.open("ab") as file:
        file.write(FREE_BOX)
    bay.wait(5)
    (after,) = bay.swings
    assert after.clips[0].id != before.clips[0].id
    assert (after.id, after.kind) == (before.id, SwingKind.DRILL)
    assert [frame.name for frame in bay.library.key_frames(after.clips[0].id)] == ["top"]
    assert queue.orders[-1].clip_id == after.clips[0].id
    assert len(list((bay.library_folder / "clips").iterdir())) == 1


def test_a_clip_that_grows_after_it_was_moved_stays_with_the_pupil_it_was_moved_to(bay):
    bay.open(pupil="Walk In")
    other = bay.lesson.id
    bay.session.end()
    bay.open()
    path = bay.drop(0)
    bay.wait(5)
    move_swings(bay.library, bay.lesson, {1}, PupilPlan("Walk In", Handedness.RIGHT))
    with path.open("ab") as file:
        file.write(FREE_BOX)
    bay.wait(5)
    assert bay.library.clips(bay.lesson.id) == ()
    (clip,) = bay.library.clips(other)
    assert bay.library.path_of(clip).read_bytes().endswith(FREE_BOX)


def test_a_clip_of_an_ended_lesson_copied_in_again_under_a_new_name_changes_nothing_there(bay):
    bay.open()
    path = bay.drop(0)
    bay.add_row(0)
    bay.wait(5)
    first = bay.lesson.id
    before = bay.library.clips(first), bay.library.swings(first), bay.library.shots(first)
    bay.open(pupil="Walk In")
    bay.wait_until(bay.time + timedelta(minutes=2))
    path.unlink()
    bay.wait(3)
    bay.drop(0, f"{bay.time + CAMERA_AHEAD_OF_HERE:%Y%m%d_%H%M%S}.mp4")
    bay.wait(8)
    assert (bay.library.clips(first), bay.library.swings(first), bay.library.shots(first)) == before
    assert bay.library.clips(bay.lesson.id) == ()
    (told,) = bay.notes("has from the lesson of")
    assert "it stays there as it is" in told
