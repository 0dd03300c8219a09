"""When things happened by this computer's clock, and so to which lesson and which batch they belong."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from datetime import datetime, timedelta

from review.jobs.live.clocks import ClockCourse, Stamp, follow_clock
from review.jobs.recordings.searching import LONG_S
from review.lesson import Arrival, Batch, Clip, Said, Shot, Swing

_EPOCH = datetime(2000, 1, 1)
_SAME_CLOCK_S = 30.0


@dataclass(frozen=True)
class Moments:
    """When clips and rows happened by this computer's clock, by id; ``jumps`` are jumps of a camera's clock.

    ``cameras_ahead_s`` is how far each camera's clock is ahead now. ``is_known`` : whether the rows' arrivals agree on
    how far the device's clock is ahead.
    """

    at: Mapping[str, datetime]
    jumps: tuple[tuple[Clip, float], ...] = ()
    cameras_ahead_s: Mapping[str, float] | None = None
    is_known: bool = False


def place_clips(arrived: Iterable[tuple[Clip, Arrival]]) -> Moments:
    """Say when clips were struck (their middle, where no strike is heard), from when they arrived, camera by camera.

    A clip that does not say when it was filmed counts from its arrival.
    """
    by_camera: dict[str, list[tuple[Clip, Arrival]]] = {}
    for clip, arrival in arrived:
        by_camera.setdefault(clip.camera, []).append((clip, arrival))
    at: dict[str, datetime] = {}
    jumps: list[tuple[Clip, float]] = []
    ahead_now: dict[str, float] = {}
    for camera, entries in by_camera.items():
        dated = [(clip, arrival) for clip, arrival in entries if clip.captured_at is not None]
        course = follow_clock([Stamp(_seconds(_end(clip)), _seconds(arrival.seen_at)) for clip, arrival in dated])
        for (clip, _), ahead_s in zip(dated, course.ahead_s, strict=True):
            at[clip.id] = _struck(clip, _begin(clip)) - timedelta(seconds=ahead_s)
        jumps += [(dated[i][0], by_s) for i, by_s in course.jumps]
        if course.ahead_s:
            ahead_now[camera] = course.ahead_s[-1]
        for clip, arrival in entries:
            if clip.captured_at is None:
                at[clip.id] = _struck(clip, arrival.seen_at - timedelta(seconds=clip.duration_s * clip.time_scale))
    return Moments(at, tuple(jumps), ahead_now)


def place_rows(arrived: Sequence[tuple[Shot, Arrival]], least_ahead_s: float | None = None) -> Moments:
    """Say when rows were struck; rows without a time count from their arrival.

    Parameters
    ----------
    arrived : rows in order of arrival.
    least_ahead_s : how far the device's clock is ahead at least, where the clips say so.
    """
    dated = [(shot, arrival) for shot, arrival in arrived if shot.struck_at is not None]
    course = ClockCourse()
    if dated:
        course = follow_clock([Stamp(_seconds(shot.struck_at), _seconds(a.seen_at)) for shot, a in dated])
    at = {shot.id: arrival.seen_at for shot, arrival in arrived}
    for (shot, _), ahead_s in zip(dated, course.ahead_s, strict=True):
        if shot.struck_at is not None:
            is_told = least_ahead_s is not None and not course.jumps
            at[shot.id] = shot.struck_at - timedelta(seconds=max(ahead_s, least_ahead_s or 0.0) if is_told else ahead_s)
    return Moments(at, is_known=course.is_known)


def find_device_ahead(clips: Moments, offset_s: float | None) -> float | None:
    """How far the device's clock is ahead at least, by the cameras' and camera minus device; None where they differ."""
    ahead = [*(clips.cameras_ahead_s or {}).values()]
    if offset_s is None or not ahead or max(ahead) - min(ahead) > _SAME_CLOCK_S:
        return None
    # camera minus computer less camera minus device is device minus computer
    return min(ahead) - offset_s


def find_batches(
    swings: Sequence[Swing], moments: Mapping[str, datetime], batches: Sequence[Batch], said: Sequence[Said]
) -> tuple[Said, ...]:
    """Say to which batch every swing belongs by the time of the key, leaving alone those of which the coach said it."""
    begun = {one.item: datetime.fromisoformat(one.value) for one in said if one.what == "begun"}
    by_coach = {one.item for one in said if one.what == "batch" and one.by == "coach"}
    found = []
    for swing in swings:
        at = find_moment(swing, moments)
        if at is None or not batches or by_coach & set(swing.items):
            continue
        before = [b for b in batches if b.id not in begun or begun[b.id] <= at]
        batch = max(before or batches[:1], key=lambda b: b.number)
        found += [Said(item, "batch", batch.id, "clock") for item in swing.items]
    return tuple(found)


def find_moment(swing: Swing, moments: Mapping[str, datetime]) -> datetime | None:
    """When a swing was struck by this computer's clock, None when nothing says so.

    Every moment may come out too late by the time a delivery takes, never too early: of a swing's clips and row the
    earliest counts.
    """
    return min((moments[item] for item in swing.items if item in moments), default=None)


def _begin(clip: Clip) -> datetime:
    return clip.captured_at or _EPOCH


def _end(clip: Clip) -> datetime:
    """When a clip was over at the earliest: one that plays for too long is slowed, nobody knows yet by how much."""
    length_s = clip.duration_s * clip.time_scale
    is_slowed = length_s > LONG_S and not clip.time_scale_source
    return _begin(clip) + timedelta(seconds=0.0 if is_slowed else length_s)


def _struck(clip: Clip, begin: datetime) -> datetime:
    into_s = clip.duration_s / 2.0 if clip.strike_s is None else clip.strike_s
    return begin + timedelta(seconds=into_s * clip.time_scale)


def _seconds(at: datetime | None) -> float:
    return 0.0 if at is None else (at - _EPOCH).total_seconds()
