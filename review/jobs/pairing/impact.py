"""When the ball was struck in one clip: heard, seen leaving, or shown by the body; and the key frames around it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from review.body import as_right_hander
from review.errors import BadInputError
from review.lesson import Handedness, KeyFrame, KeyFrameName, SoundOffset
from review.media import FrameReader, VideoSource, probe_video, read_audio
from review.pose import LandmarkTrack
from review.swing import find_impacts_by_motion, find_key_frames
from review.swing.ball import BallLeft, choose_pictures, find_ball_leaving, find_ball_region
from review.swing.sound_offset import is_usable
from review.swing.strike import Strike, choose_strike, find_strikes, time_strike

# Impact by the body is off by 26 ms in one of ten down the line (docs/accuracy.md); a strike farther off is looked at.
_AGREES_S = 0.045
_SEEN_AND_HEARD_S = 0.03
_HEARD_AROUND_SEEN_S = 0.3
_STILL_PART = 8
_SEEN_CERTAINTY, _BOTH_CERTAINTY, _DOUBTFUL_CERTAINTY = 0.95, 0.99, 0.6


@dataclass(frozen=True)
class SoundDelay:
    """What lies between ball and sound track: the way to the microphone, or the camera's learnt offset."""

    distance_m: float = 0.0
    offset: SoundOffset | None = None

    def offset_s(self, time_scale: float) -> float:
        """Offset to take off a strike heard, presentation seconds; learnt at true speed, so only used there."""
        usable = self.offset is not None and time_scale == 1.0 and is_usable(self.offset)
        return self.offset.offset_s if self.offset is not None and usable else 0.0


@dataclass(frozen=True)
class TimedSwing:
    """Key frames of a clip; ``strike_s`` the strike heard, less its delay, None when none was.

    ``heard_late_s`` is how much later the strike was heard than the ball was seen leaving, ``seen_within_s`` what the
    spacing of pictures leaves open; None where not both were.
    """

    key_frames: tuple[KeyFrame, ...]
    strike_s: float | None
    heard_late_s: float | None = None
    seen_within_s: float | None = None


def time_swing(
    source: VideoSource,
    track: LandmarkTrack,
    golfer: LandmarkTrack,
    time_scale: float,
    delay: SoundDelay,
    coach_marks: tuple[KeyFrame, ...] = (),
    always_look: bool = False,
) -> TimedSwing:
    """Find the key frames of one clip.

    Of the strikes heard the one near a swing is taken. The pictures are looked at where none was heard or it does not
    agree with the body. The coach's marks win.

    Parameters
    ----------
    track, golfer : the clip's landmarks as detected, and as a right-hander's.
    always_look : also look where the strike was heard, to learn the camera's offset.

    Raises
    ------
    BadInputError
        When no swing is seen.
    """
    marked = next((mark.time_s for mark in coach_marks if mark.name == KeyFrameName.IMPACT.value), None)
    suggested = find_impacts_by_motion(golfer, time_scale) if marked is None else (marked,)
    strikes = hear_strikes(source, time_scale)
    offset_s = delay.offset_s(time_scale)
    around_s, strike_s = suggested[0] if suggested else None, None
    for moment_s in suggested:
        heard = time_strike(strikes, moment_s + offset_s, delay.distance_m, time_scale)
        if heard is not None:
            around_s, strike_s = moment_s, heard - offset_s
            break
    agrees = strike_s is not None and around_s is not None and abs(strike_s - around_s) * time_scale <= _AGREES_S
    seen = None
    if marked is None and around_s is not None and (always_look or not agrees):
        seen = see_ball_leave(source, track, around_s, time_scale)
    if seen is None:
        certainty = 0.98 if agrees else _DOUBTFUL_CERTAINTY
        chosen = (strike_s, "sound", certainty) if strike_s is not None else (marked, "coach", 1.0)
    else:
        chosen = _weigh(strike_s, seen, time_scale)
    found = find_key_frames(golfer, time_scale, *chosen)
    late_s = None if seen is None else _find_lateness(strikes, seen, time_scale)
    within_s = None if late_s is None or seen is None else seen.within_s / time_scale
    return TimedSwing(_with_marks(found, coach_marks), strike_s, late_s, within_s)


def _weigh(strike_s: float | None, seen: BallLeft, time_scale: float) -> tuple[float, str, float]:
    """The strike heard inside what the pictures leave open, else the pictures: they are what is measured."""
    seen_s, within_s = seen.time_s / time_scale, seen.within_s / time_scale
    if strike_s is None or abs(strike_s - seen_s) * time_scale > _SEEN_AND_HEARD_S:
        return seen_s, "picture", _SEEN_CERTAINTY
    if abs(strike_s - seen_s) <= within_s:
        return strike_s, "sound", _BOTH_CERTAINTY
    return float(np.clip(strike_s, seen_s - within_s, seen_s + within_s)), "picture", _BOTH_CERTAINTY


def _find_lateness(strikes: tuple[Strike, ...], seen: BallLeft, time_scale: float) -> float | None:
    """How much later a strike was heard than the ball was seen leaving; looked for far beyond what is usual."""
    seen_s = seen.time_s / time_scale
    heard = choose_strike(strikes, seen_s, _HEARD_AROUND_SEEN_S, time_scale)
    return None if heard is None else heard.time_s - seen_s


def see_ball_leave(
    source: VideoSource, track: LandmarkTrack, around_s: float, time_scale: float = 1.0
) -> BallLeft | None:
    """Look for the ball leaving in the pictures around a moment (presentation time); the result is in true seconds.

    Only some pictures before and after and those near the moment are decoded: 0.3 to 0.6 s of one core for a clip of 60
    to 240 pictures a second. None where nothing is seen leaving or the pictures cannot be read.
    """
    try:
        info = probe_video(source)
        as_filmed = as_right_hander(track, Handedness.RIGHT)  # not mirrored, gaps filled
        region = find_ball_region(as_filmed, slice(0, max(3, len(track.time_s) // _STILL_PART)))
        true_s = info.time_s * time_scale
        chosen = choose_pictures(true_s, around_s * time_scale)
        if region.is_empty or len(chosen) == 0:
            return None
        with FrameReader(info) as reader:
            grey = np.stack([_crop(reader.frame(int(i)).rgb, region.rows, region.columns) for i in chosen])
    except BadInputError:
        return None
    return find_ball_leaving(grey, true_s[chosen], around_s * time_scale, region.ball_px)


def _crop(rgb: NDArray[np.uint8], rows: slice, columns: slice) -> NDArray[np.uint8]:
    grey: NDArray[np.uint8] = rgb[rows, columns].mean(axis=2).astype(np.uint8)
    return grey


def hear_strike(
    source: VideoSource, around_s: float | None = None, sound_distance_m: float = 0.0, time_scale: float = 1.0
) -> float | None:
    """Presentation time of the strike in the clip's sound, None when none is heard or there is no sound.

    Parameters as for ``review.swing.strike.time_strike``.
    """
    return time_strike(hear_strikes(source, time_scale), around_s, sound_distance_m, time_scale)


def hear_strikes(source: VideoSource, time_scale: float = 1.0) -> tuple[Strike, ...]:
    """Find all sharp sounds of a clip that may be its strike, in order of time; none without sound.

    ``time_scale`` is true seconds in one second of the clip; the sound is slowed with the picture.
    """
    audio = read_audio(source)
    return () if audio is None else find_strikes(audio.samples.astype(float), audio.rate_hz, audio.start_s, time_scale)


def _with_marks(found: tuple[KeyFrame, ...], marks: tuple[KeyFrame, ...]) -> tuple[KeyFrame, ...]:
    """The coach's marks in the place of what was found, and those of the coach's own naming."""
    by_name = {mark.name: mark for mark in marks}
    kept = [by_name.pop(k.name, k) for k in found]
    return tuple(sorted([*kept, *by_name.values()], key=lambda k: k.time_s))
