"""Two clips on one clock, feet on feet, which two swings: without Qt."""

from datetime import date

import numpy as np
import pytest

from review.app.side_by_side.feet import Overlay, fit_similarity, place_on_feet
from review.app.side_by_side.lock import FIRST_FRAMES, lock_clips, next_name, shared_names, usual_name
from review.errors import BadInputError
from review.jobs.showing.pair import SideShown, choose_swings, list_views
from review.jobs.showing.swing import ClipShown
from review.lesson import AimMeasure, Batch, Clip, KeyFrame, Lesson, Measure, Swing, View
from review.pose import LandmarkTrack


def clip_with(
    *, view: View | None = View.FACE_ON, scale: float = 1.0, track: LandmarkTrack | None = None, **keys: float
) -> ClipShown:
    clip = Clip("c", "0" * 64, "c.mp4", "c.mp4", view=view, time_scale=scale)
    names = {name.replace("_", " "): time_s for name, time_s in keys.items()}
    frames = tuple(KeyFrame(name, time_s, 0, 1.0, "pose") for name, time_s in names.items())
    return ClipShown(clip, view, frames, track)


def test_at_the_lock_both_show_the_frame_nearest_to_their_own_key_frame() -> None:
    first, last = clip_with(impact=1.004), clip_with(impact=0.517)
    times = np.arange(120) / 60, np.arange(60) / 30
    lock = lock_clips((first, last), times, "impact")
    assert lock.finer == 0
    frames = [clock.frame_at(0.0) for clock in lock.clocks]
    assert frames == [60, 16]  # 1.000 is nearest to 1.004; 0.533 is nearer to 0.517 than 0.500
    # six frames of the finer clip are three of the coarser one
    assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(66)) == 19
    assert not lock.is_time_altered


def test_slow_motion_is_true_time_and_finer() -> None:
    # a file played at 30 that was filmed at 240: eight frames are one of 30 a second
    first, last = clip_with(impact=1.0), clip_with(impact=4.0, scale=0.125)
    lock = lock_clips((first, last), (np.arange(60) / 30, np.arange(240) / 30), "impact")
    assert lock.finer == 1
    assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(29)) == 120 - 8


def test_unstretched_only_the_lock_meets_stretched_all_do() -> None:
    first = clip_with(address=0.5, top=1.3, impact=1.6, finish=2.4)
    last = clip_with(address=0.2, top=1.2, impact=1.45, finish=2.6)
    times = np.arange(300) / 100, np.arange(300) / 100
    plain = lock_clips((first, last), times, "impact")
    assert plain.clocks[1].frame_at(plain.clocks[0].moment_of(130)) == 115  # 0.3 s before impact, not the top at 1.2
    lock = lock_clips((first, last), times, "impact", is_stretched=True)
    assert lock.is_time_altered
    for own, other in ((50, 20), (130, 120), (160, 145), (240, 260)):
        assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(own)) == other
    assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(145)) in (132, 133)  # halfway from top to impact
    assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(40)) == 10  # before address at true speed
    assert np.all(np.diff(lock.clocks[1].time_s) > 0)


def test_key_frames_in_another_order_are_not_stretched_between() -> None:
    first = clip_with(top=1.0, mark=1.2, impact=1.5)
    last = clip_with(top=1.0, mark=1.7, impact=1.4)  # the coach's mark came after impact here
    times = np.arange(300) / 100, np.arange(300) / 100
    lock = lock_clips((first, last), times, "impact", is_stretched=True)
    assert np.all(np.diff(lock.clocks[1].time_s) > 0)
    assert lock.clocks[1].frame_at(lock.clocks[0].moment_of(100)) == 100


def test_a_coachs_mark_locks_too_and_names_go_round() -> None:
    first, last = clip_with(top=1.0, impact=1.5, knee_in=1.2), clip_with(impact=1.4, knee_in=1.1, finish=2)
    names = shared_names((first, last))
    assert names == ("knee in", "impact")
    assert usual_name(names) == "impact"
    assert next_name(names, "impact") == "knee in"
    times = np.arange(300) / 100, np.arange(300) / 100
    lock = lock_clips((first, last), times, "knee in")
    assert [clock.frame_at(0.0) for clock in lock.clocks] == [120, 110]


def test_without_a_shared_key_frame_the_first_frames_meet() -> None:
    first, last = clip_with(top=1.0), clip_with(impact=1.4)
    assert shared_names((first, last)) == ()
    assert usual_name(()) == FIRST_FRAMES
    lock = lock_clips((first, last), (np.arange(90) / 30 + 0.5, np.arange(90) / 30), "impact", is_stretched=True)
    assert (lock.at, lock.is_time_altered) == (FIRST_FRAMES, False)
    assert [clock.frame_at(0.0) for clock in lock.clocks] == [0, 0]


def feet_track(feet: np.ndarray) -> LandmarkTrack:
    points = np.full((3, 33, 3), 5.0)
    points[1, 27:33, :2] = feet
    return LandmarkTrack(np.arange(3) / 10, points, np.zeros((3, 33, 3)), np.ones((3, 33)), 400, 400, "m", "v")


FEET = np.array([[150.0, 340], [250, 342], [145, 350], [252, 351], [130, 356], [270, 358]])


@pytest.mark.parametrize(
    ("scale", "turn_deg", "shift"), [(1.0, 0.0, (0, 0)), (1.2, 5.0, (30, -12)), (0.7, -9.0, (4, 9))]
)
def test_feet_fall_on_feet(scale: float, turn_deg: float, shift: tuple[float, float]) -> None:
    turn = np.radians(turn_deg)  # clockwise as seen: y points down
    rotation = np.array([[np.cos(turn), -np.sin(turn)], [np.sin(turn), np.cos(turn)]])
    over = (FEET - np.array(shift)) @ rotation / scale  # the inverse, row vectors
    found = place_on_feet(
        clip_with(address=0.1, track=feet_track(FEET)), clip_with(address=0.1, track=feet_track(over))
    )
    assert isinstance(found, Overlay)
    assert (found.scale, found.turn_deg) == (pytest.approx(scale), pytest.approx(turn_deg))
    assert found.map(over) == pytest.approx(FEET)


def test_where_the_feet_do_not_tell_the_reason_is_said() -> None:
    measured = clip_with(address=0.1, track=feet_track(FEET))
    assert "measure" in str(place_on_feet(measured, clip_with(address=0.1)))
    assert "measure" in str(place_on_feet(measured, clip_with(track=feet_track(FEET))))
    other = clip_with(view=View.DOWN_THE_LINE, address=0.1, track=feet_track(FEET))
    assert "same side" in str(place_on_feet(measured, other))
    unseen = feet_track(FEET)
    unseen.visibility[:] = 0.1
    assert "not seen" in str(place_on_feet(measured, clip_with(address=0.1, track=unseen)))
    turned = clip_with(address=0.1, track=feet_track(FEET[:, ::-1]))
    assert "do not fit" in str(place_on_feet(measured, turned))
    assert fit_similarity(np.ones((4, 2)), FEET[:4]) is None


def swings_of(values: dict[int, list[float]], without_clip: tuple[int, ...] = ()) -> tuple[tuple[Swing, ...], dict]:
    swings, body = [], {}
    for number, own in values.items():
        for value in own:
            order = len(swings) + 1
            clips = () if order in without_clip else (Clip(f"c{order}", "0" * 64, "c.mp4", "c.mp4"),)
            swings.append(Swing(f"s{order}", order, clips=clips, batch_id=f"b{number}"))
            body[f"s{order}"] = (Measure("hip_turn_deg", value, "impact"),)
    return tuple(swings), body


def lesson_of(open_batches: tuple[int, ...] = (), n: int = 3) -> Lesson:
    batches = tuple(Batch(f"b{i}", i, is_closed=i not in open_batches) for i in range(1, n + 1))
    aim = (AimMeasure("hip_turn_deg", "impact"),)
    return Lesson("l", "p", date(2026, 3, 14), aim_measures=aim, batches=batches)


VALUES = {1: [10.0, 14, 30], 2: [20.0, 21, 22], 3: [40.0, 12, 43]}


@pytest.mark.parametrize(
    ("open_batches", "without_clip", "chosen"),
    [
        ((), (), (2, 7)),  # 14 is the middle of the first, 40 of the last; the best would be 30 and 43
        ((3,), (), (2, 5)),  # the last closed one
        ((2, 3), (), (2, 7)),  # one closed batch only: an open one serves
        ((), (2,), (1, 7)),  # the middle one has no clip: the one nearest to it
        ((), (4, 5, 6, 7, 8, 9), (2, 3)),  # one batch filmed: typical beside the latest
    ],
)
def test_the_typical_swings_of_first_and_last_closed_batch(open_batches, without_clip, chosen) -> None:
    swings, body = swings_of(VALUES, without_clip)
    first, last = choose_swings(lesson_of(open_batches), swings, body)
    assert (first.order, last.order) == chosen


def test_a_doubted_row_is_not_typical_unless_nothing_else_was_filmed() -> None:
    swings, body = swings_of(VALUES)
    first, last = choose_swings(lesson_of(), swings, body, frozenset({"s2", "s7"}))
    assert (first.order, last.order) != (2, 7)
    assert not {first.id, last.id} & {"s2", "s7"}
    swings, body = swings_of(VALUES, without_clip=(1, 3))
    assert choose_swings(lesson_of(), swings, body, frozenset({"s2"}))[0].order == 2


def test_a_lesson_without_a_clip_has_nothing_to_put_side_by_side() -> None:
    swings, body = swings_of(VALUES, tuple(range(1, 10)))
    with pytest.raises(BadInputError, match="nothing to put side by side"):
        choose_swings(lesson_of(), swings, body)


def test_views_of_the_same_side_stand_together() -> None:
    def side(*views: View | None) -> SideShown:
        return SideShown(Swing("s", 1), None, tuple(clip_with(view=view) for view in views))

    assert list_views(side(*View), side(*View)) == ((0, 0), (1, 1))
    assert list_views(side(*View), side(View.DOWN_THE_LINE)) == ((1, 0),)
    assert list_views(side(View.FACE_ON), side(View.DOWN_THE_LINE)) == ((0, 0),)
