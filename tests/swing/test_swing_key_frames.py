"""Key frames of rendered swings against the exact truth of the posed skeleton."""

from dataclasses import replace

import numpy as np
import pytest

from review.body import as_right_hander
from review.errors import BadInputError
from review.lesson import KeyFrameName
from review.swing import compute_tempo, find_key_frames


def found(swing, **options):
    track = as_right_hander(swing.track, swing.handedness)
    return {k.name: k for k in find_key_frames(track, **options)}


@pytest.mark.parametrize("name", ["face_on", "down_the_line", "face_on_left"])
def test_key_frames_lie_near_the_truth(name, request):
    swing = request.getfixturevalue(name)
    frames = found(swing)
    assert list(frames) == [n.value for n in KeyFrameName]
    errors_ms = {n: 1000 * (frames[n].time_s - t) for n, t in swing.key_frames_s.items()}
    # half again what was seen on 32 rendered clips (docs/accuracy.md): impact by picture, top, address, finish
    assert abs(errors_ms["impact"]) < 33
    assert abs(errors_ms["top"]) < 65
    assert -20 < errors_ms["address"] < 130
    assert abs(errors_ms["finish"]) < 110


def test_the_strike_heard_decides_the_impact(face_on):
    true_s = face_on.key_frames_s["impact"]
    frames = found(face_on, strike_s=true_s)
    assert frames["impact"].time_s == pytest.approx(true_s)
    assert frames["impact"].source == "sound"
    assert frames["impact"].frame == int(np.argmin(np.abs(face_on.track.time_s - true_s)))


def test_a_strike_far_from_the_movement_is_not_believed(face_on):
    frames = found(face_on, strike_s=face_on.key_frames_s["impact"] + 0.5)
    assert frames["impact"].source == "pose"


@pytest.mark.parametrize("late_s", [-0.1, 0.1])
def test_a_strike_heard_early_or_late_moves_impact_alone(face_on, late_s):
    """The sound of a recording may lie this far off; what the hands show stays."""
    by_motion, frames = found(face_on), found(face_on, strike_s=face_on.key_frames_s["impact"] + late_s)
    assert frames["impact"].time_s == pytest.approx(face_on.key_frames_s["impact"] + late_s)
    for name in ("address", "takeaway", "top", "arm level"):
        assert frames[name] == by_motion[name]


def test_arm_level_lies_between_top_and_impact(face_on):
    frames = found(face_on)
    assert frames["top"].time_s < frames["arm level"].time_s < frames["impact"].time_s


def test_slow_motion_file_gives_the_same_swing(face_on):
    """A file that plays four times too slow: stamps x 4, true time = stamp x 0.25."""
    slow = replace(face_on.track, time_s=face_on.track.time_s * 4)
    normal = find_key_frames(face_on.track)
    stretched = find_key_frames(slow, time_scale=0.25)
    for a, b in zip(normal, stretched, strict=True):
        assert b.time_s == pytest.approx(4 * a.time_s, abs=1e-6)
    tempo, slow_tempo = compute_tempo(normal), compute_tempo(stretched, time_scale=0.25)
    assert [m.value for m in tempo] == pytest.approx([m.value for m in slow_tempo])


def test_tempo_is_the_ratio_of_its_parts(face_on):
    back, down, ratio = (m.value for m in compute_tempo(find_key_frames(face_on.track)))
    assert ratio == pytest.approx(back / down)
    # professionals: about 3 to 1, 21:7 to 30:10 at 30 pictures a second (Grober & Cholewicki, arXiv physics/0611291);
    # amateurs vary more, so this only guards against a wrong event
    assert 1.5 < ratio < 5.0


def test_no_swing_in_a_standing_person(face_on):
    still = replace(face_on.track, image_px=np.repeat(face_on.track.image_px[:1], len(face_on.track.time_s), axis=0))
    with pytest.raises(BadInputError, match="No swing was found"):
        find_key_frames(still)


def test_a_clip_of_a_blink_is_refused(face_on):
    track = face_on.track
    short = replace(
        track,
        time_s=track.time_s[:10],
        image_px=track.image_px[:10],
        world_m=track.world_m[:10],
        visibility=track.visibility[:10],
    )
    with pytest.raises(BadInputError, match="at least half a second"):
        find_key_frames(short)


def test_hands_that_drop_fast_after_the_finish_are_no_downswing(face_on):
    """The follow-through may end in a quick drop of the hands to shoulder height."""
    track = face_on.track
    image = track.image_px.copy()
    late = track.time_s > face_on.key_frames_s["finish"] - 0.05
    n = int(late.sum())
    up = image[~late][-1, [15, 16], 1]
    shoulders = image[late][:, [11, 12], 1].mean()
    drop = np.linspace(0, 1, 6)[:, None]
    path = np.concatenate([up - 200 + (shoulders - up + 200) * drop, np.repeat([[shoulders] * 2], n - 6, axis=0)])
    image[np.flatnonzero(late)[:, None], [15, 16], 1] = path
    frames = {k.name: k for k in find_key_frames(replace(track, image_px=image))}
    assert frames["impact"].time_s == pytest.approx(face_on.key_frames_s["impact"], abs=0.035)
