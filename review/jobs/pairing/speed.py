"""At what speed a clip plays: as given, or found, or asked."""

from pathlib import Path

from review.errors import BadInputError
from review.media import Footage, probe_video, read_audio
from review.pose import LandmarkTrack
from review.swing import FoundTimeScale, RateChange, find_rate_change, find_time_scale

_LEAST_WORTH_SAYING = 0.02
_SENSIBLE = (0.005, 4.0)


def check_time_scale(value: float, name: str) -> float:
    """Return a time scale as it was given under a name.

    Raises
    ------
    BadInputError
        When it is no number between 0.005 and 4.
    """
    if not _SENSIBLE[0] <= value <= _SENSIBLE[1]:
        raise BadInputError(
            f"{name} is true time over time in the file, between {_SENSIBLE[0]} and {_SENSIBLE[1]:g} (240 frames a "
            f"second played at 30: 0.125), got {value:g}."
        )
    return value


def find_clip_speed(path: Path | Footage, golfer: LandmarkTrack) -> FoundTimeScale:
    """Find the time scale of a clip from its right-hander's track, its sound and the camera's note.

    Raises
    ------
    BadInputError
        When no swing is seen, or the frame rate jumps: the clip then plays at two speeds.
    """
    change = find_rate_change(golfer.time_s)
    if change is not None:
        raise BadInputError(_refuse_ramp(change))
    return find_time_scale(golfer, read_audio(path), probe_video(path).capture_rate_hz)


def settle_time_scale(path: Path | Footage, golfer: LandmarkTrack) -> float:
    """Return the time scale of a clip.

    Raises
    ------
    BadInputError
        When no swing is seen, or it is not clear how fast the clip plays, or it plays at two speeds.
    """
    found = find_clip_speed(path, golfer)
    if not found.is_clear:
        raise BadInputError(ask_for_speed(found))
    return found.time_scale


def ask_for_speed(found: FoundTimeScale) -> str:
    """Say what was found of a clip whose speed is not clear, and what to give."""
    swing = "" if found.swing_s is None else f", {found.swing_s:.2f} s from address to impact (usual 0.8 to 1.45)"
    note = "" if found.capture_rate_hz is None else f"; the camera notes {found.capture_rate_hz:g} frames a second"
    likely = [pair for pair in found.probabilities[:3] if pair[1] >= _LEAST_WORTH_SAYING]
    choices = ", ".join(f"{scale:.4g} ({probability:.0%})" for scale, probability in likely)
    return (
        "It is not clear whether this clip is slow motion, or shows a swing at all. As it plays, the downswing takes "
        f"{found.downswing_s:.2f} s (usual 0.20 to 0.35){swing}, at {found.rate_hz:.4g} frames a second, "
        f"{'with' if found.has_sound else 'without'} sound{note}. Likeliest time scales: {choices}. "
        "Give the right one with --time-scale: 1 when the clip plays at true speed, 0.125 when 240 frames a second "
        "play at 30. In a lesson: add the clip again with --time-scale, or with time_scale in its [[camera]]."
    )


def _refuse_ramp(change: RateChange) -> str:
    """Say that part of a clip seems to be slowed, and what to do."""
    return (
        f"At {change.time_s:.2f} s this clip goes from {change.before_hz:.3g} to {change.after_hz:.3g} frames a "
        "second: part of it seems to play slower than the rest. Expected one speed from end to end. Save it again "
        "wholly slowed or not at all; if it does play at one speed, give that with --time-scale (in a lesson: add the "
        "clip again with it, or with time_scale in its [[camera]])."
    )
