"""Waggles, pauses, half swings, cuts, several swings: rendered swings with their time edited, so the truth is known."""

import numpy as np
import pytest
from awkward_swings import edited, glide, play, rest, waggle

from review.errors import BadInputError
from review.swing import find_impacts_by_motion, find_key_frames

# docs/accuracy.md; top, impact, finish half again what a certainty speaks of there: the worst of a few, not nine in ten
ADDRESS, TOP, IMPACT, FINISH = 0.08, 0.052, 0.025, 0.15


@pytest.fixture(params=["face_on", "down_the_line", "face_on_left"])
def swing(request):
    return request.getfixturevalue(request.param)


def events(swing):
    at = swing.key_frames_s
    return at["address"], at["top"], at["impact"], at["finish"], float(swing.track.time_s[-1])


def found(track, **options):
    return {k.name: k for k in find_key_frames(track, **options)}


def assert_lies(frames, later_s, swing, names=("address", "top", "impact", "finish")):
    for name, within_s in zip(("address", "top", "impact", "finish"), (ADDRESS, TOP, IMPACT, FINISH), strict=True):
        if name in names:
            assert frames[name].time_s == pytest.approx(swing.key_frames_s[name] + later_s, abs=within_s), name


@pytest.mark.parametrize("still_s", [0.5, 0.0])
def test_waggles_are_not_the_start(swing, still_s):
    """Two waggles of a third of the way back, then still or flowing into the swing."""
    address, top, _, _, end = events(swing)
    way = 0.3 * (top - address)
    pieces = [play(0, address), waggle(address, way, 0.6), waggle(address, way, 0.5)]
    if still_s:
        pieces.append(waggle(address - 0.05, 0.05, still_s))
    assert_lies(found(edited(swing, *pieces, play(address, end))), 1.1 + still_s, swing)


def test_after_a_pause_the_top_is_where_the_hands_come_down(swing):
    _, top, _, _, end = events(swing)
    frames = found(edited(swing, play(0, top), rest(top, 0.4), play(top, end)))
    assert_lies(frames, 0.4, swing, names=("top", "impact", "finish"))
    assert frames["address"].time_s == pytest.approx(swing.key_frames_s["address"], abs=ADDRESS)


def test_setting_the_club_down_first_is_not_the_swing(swing):
    address, top, _, _, end = events(swing)
    track = edited(swing, rest(top, 0.3), glide(top, address, 0.9), rest(address, 0.6), play(address, end))
    assert_lies(found(track), 1.8 - address, swing)


@pytest.mark.parametrize("part", [0.4, 0.8])
def test_a_clip_that_begins_in_the_backswing_has_no_address(swing, part):
    address, top, _, _, end = events(swing)
    begin = address + part * (top - address)
    frames = found(edited(swing, play(begin, end)))
    assert "address" not in frames
    assert "takeaway" not in frames
    assert_lies(frames, -begin, swing, names=("top", "impact", "finish"))


def test_a_clip_that_begins_on_the_way_down_has_no_top(swing):
    _, top, _, _, end = events(swing)
    begin = top + 0.1
    frames = found(edited(swing, play(begin, end)))
    assert not {"address", "takeaway", "top"} & set(frames)
    assert_lies(frames, -begin, swing, names=("impact", "finish"))


def test_a_clip_that_ends_too_early_has_no_finish_or_no_impact(swing):
    _, _, impact, _, _ = events(swing)
    frames = found(edited(swing, play(0, impact + 0.2)))
    assert_lies(frames, 0.0, swing, names=("address", "top", "impact"))
    assert "finish" not in frames
    frames = found(edited(swing, play(0, impact - 0.06)))
    assert_lies(frames, 0.0, swing, names=("address", "top"))
    assert not {"impact", "finish"} & set(frames)


def test_hands_brought_back_down_after_the_finish(swing):
    *_, impact, _, end = events(swing)
    frames = found(edited(swing, play(0, end), glide(end, impact + 0.12, 0.8), rest(impact + 0.12, 0.3)))
    assert_lies(frames, 0.0, swing)


def test_the_strike_says_which_of_two_swings_is_meant(swing):
    """A practice swing at full speed, then a slower one that strikes the ball."""
    address, _, impact, _, end = events(swing)
    slower = (1.2 * (end - address), lambda part: address + (end - address) * part)
    track = edited(swing, play(0, end), glide(end, address, 0.8), rest(address, 0.5), slower)
    struck = end + 1.3 + 1.2 * (impact - address)
    suggested = np.array(find_impacts_by_motion(track))
    assert suggested[0] == pytest.approx(impact, abs=IMPACT)
    assert np.abs(suggested - struck).min() < IMPACT
    assert found(track)["impact"].time_s == pytest.approx(impact, abs=IMPACT)
    frames = found(track, strike_s=struck, strike_source="picture", strike_certainty=0.9)
    assert frames["impact"].time_s == struck
    assert (frames["impact"].source, frames["impact"].certainty) == ("picture", 0.9)
    assert frames["address"].time_s == pytest.approx(end + 1.3, abs=1.2 * ADDRESS)


def test_bending_down_to_the_ball_is_no_swing(face_on):
    """Hands go down by a third of the stature in half a second, stay, and come up as slowly."""
    track = edited(face_on, rest(0.3, 3.0))
    t = track.time_s
    bend = np.interp(t, [0.5, 1.0, 2.0, 2.6], [0, 1, 1, 0])[:, None]
    track.image_px[:, [15, 16], 1] += 300 * bend
    with pytest.raises(BadInputError, match="No swing was found"):
        find_key_frames(track)


def test_certainty_is_lower_where_less_is_known(face_on):
    swing = face_on
    _, top, impact, _, end = events(swing)
    whole = found(edited(swing, play(0, end)))
    paused = found(edited(swing, play(0, top), rest(top, 0.4), play(top, end)))
    assert paused["top"].certainty < whole["top"].certainty
    assert found(swing.track, strike_s=impact)["impact"].certainty > whole["impact"].certainty
    assert all(0.8 < k.certainty < 1.0 for k in whole.values())
