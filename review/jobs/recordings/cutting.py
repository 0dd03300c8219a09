"""Clips out of a long recording: its swings as parts of it, and what of the recording is kept."""

import hashlib
from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass, replace
from datetime import datetime, time, timedelta
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.jobs.lesson_file import CameraPlan, LessonPlan
from review.jobs.pairing.clip_reading import ReadClip, settle_strikes
from review.jobs.pairing.impact import hear_strike
from review.jobs.recordings.searching import MAY_BE_ONE_SWING_S, is_recording, search_recording
from review.lesson import Clip, Swing, SwingKind
from review.lesson.words import count
from review.media import Footage, VideoInfo, probe_video
from review.progress import Progress


@dataclass(frozen=True, eq=False)
class Expanded:
    """The clips of a plan with every recording in the place of its swings, and what the coach should know.

    ``recordings`` are the recordings themselves; ``doubts`` holds what is not sure of a swing, by the place of its clip
    in ``clips``.
    """

    clips: tuple[ReadClip, ...]
    recordings: tuple[ReadClip, ...]
    notes: tuple[str, ...]
    doubts: Mapping[int, str]


def expand_recordings(
    known: Sequence[Clip], plan: LessonPlan, read: Sequence[ReadClip], progress: Progress
) -> Expanded:
    """Put the swings of every long recording in its place; what this lesson has of it already is left out.

    The strikes of clips of one swing are settled together, camera by camera.

    Raises
    ------
    BadInputError
        When a recording cannot be read, shows no swing, or does not tell the time that the lesson's limits need.
    """
    read = settle_strikes(read)
    clips: list[ReadClip] = []
    recordings: list[ReadClip] = []
    notes: list[str] = []
    doubts: dict[int, str] = {}
    long = [clip for clip in read if is_recording(clip.info, clip.time_scale)]
    cameras = _tell_cameras_apart(long)
    for clip in read:
        if clip not in long:
            clips.append(clip)
            continue
        number = long.index(clip)
        here = replace(clip, camera=cameras[number], recording=_hash(clip.path))
        there = [old for old in known if old.recording == here.recording]
        limits = _limits_s(here, plan)
        if there and limits is None:
            recordings.append(here)
            notes.append(f"{here.path.name} was searched before: nothing changes ({count(len(there), 'swing')}).")
            continue

        def report(done: int, total: int, before: int = number) -> None:
            progress(before * total + done, len(long) * total)

        found = search_recording(here.path, here.info, here.time_scale, report, limits)
        if not found:
            clips.append(_as_one_clip(clip))
            notes.append(f"No swing was found in {here.path.name}, so it was added as one clip.")
            continue
        recordings.append(here)
        new = [swing for swing in found if not any(_holds(old, swing.impact_s) for old in there)]
        for swing in new:
            begin_s, end_s = _between_frames(here.info, swing.begin_s, swing.end_s)
            if swing.doubt:
                doubts[len(clips)] = swing.doubt
            part = probe_video(Footage(here.path, begin_s, end_s))
            clips.append(replace(here, info=part, strike_s=swing.strike_s, begin_s=begin_s, end_s=end_s))
        n_struck = sum(swing.strike_s is not None for swing in new)
        notes.append(f"{here.path.name}: {count(len(new), 'swing')} found, {n_struck} of them struck a ball.")
    return Expanded(tuple(clips), tuple(recordings), tuple(notes), doubts)


def ask_about_doubts(doubts: Mapping[str, str], swings: Sequence[Swing]) -> tuple[str, ...]:
    """Put what is not sure of a swing (by clip id) into questions, one for all swings of one file and doubt."""
    about: dict[tuple[str, str], list[int]] = {}
    for swing in swings:
        if any(clip.id not in doubts and clip.strike_s is not None for clip in swing.clips):
            continue  # another camera heard it
        for clip in swing.clips:
            if clip.id in doubts and swing.shot is None:
                about.setdefault((clip.camera, doubts[clip.id]), []).append(swing.order)
    return tuple(
        f"{_is_practice(sorted(orders))} For camera {camera}, {doubt}. "
        f"Answer: lesson-review match --kind {orders[0]}=practice (or =shot), once for each."
        for (camera, doubt), orders in about.items()
    )


def ask_about_practice(clip_ids: Collection[str], swings: Sequence[Swing]) -> tuple[str, ...]:
    """Ask once about the swings of recordings (clips by id) taken for practice, when they are implausibly many.

    That is: more than half of the swings of these clips, or any while rows of the table have no swing. Common practice,
    no source.
    """
    here = [swing for swing in swings if any(clip.id in clip_ids for clip in swing.clips)]
    quiet = sorted(swing.order for swing in here if swing.kind is SwingKind.PRACTICE)
    n_rows_left = sum(swing.shot is not None and not swing.clips for swing in swings)
    if not quiet or (2 * len(quiet) <= len(here) and not n_rows_left):
        return ()
    why = f"No ball was heard in {len(quiet)} of {len(here)} swings"
    if n_rows_left:
        why += f", and {n_rows_left} rows of the table have no swing" if n_rows_left > 1 else ", and a row has no swing"
    return (
        f"{_is_practice(quiet)} {why}. "
        f"Those that are not: lesson-review match --kind {quiet[0]}=shot, once for each; leave the others as they are.",
    )


def _is_practice(orders: Sequence[int]) -> str:
    if len(orders) == 1:
        return f"Is swing {orders[0]} practice?"
    return f"Which of the swings {', '.join(map(str, orders))} are practice?"


def _limits_s(clip: ReadClip, plan: LessonPlan) -> tuple[float, float] | None:
    """Presentation times between which the lesson lies, None when all of the recording is meant."""
    if plan.begins is None and plan.ends is None:
        return None
    if clip.captured_at is None:
        raise BadInputError(
            f"{clip.path.name} does not say when it was recorded, so the lesson's begin and end cannot be found in it. "
            "Name it by its start (such as 2026-03-14 10.15.18.mp4), or leave --from and --to out. Nothing was added."
        )

    def place_s(at: time, captured: datetime) -> float:
        moment = datetime.combine(captured.date(), at)
        if moment < captured - timedelta(hours=12):  # past midnight
            moment += timedelta(days=1)
        return (moment - captured).total_seconds() / clip.time_scale

    begin_s = 0.0 if plan.begins is None else max(0.0, place_s(plan.begins, clip.captured_at))
    end_s = float(clip.info.time_s[-1]) if plan.ends is None else place_s(plan.ends, clip.captured_at)
    if end_s <= begin_s or begin_s >= clip.info.time_s[-1]:
        minutes = clip.info.duration_s * clip.time_scale / 60
        raise BadInputError(
            f"{clip.path.name} begins at {clip.captured_at:%H:%M:%S} by the camera's clock and lasts {minutes:.0f} "
            "min; the lesson's begin and end leave nothing of it. Correct --from and --to. Nothing was added."
        )
    return begin_s, end_s


def _as_one_clip(clip: ReadClip) -> ReadClip:
    if clip.info.duration_s * clip.time_scale > MAY_BE_ONE_SWING_S:
        raise BadInputError(
            f"No swing was found in {clip.path.name} ({clip.info.duration_s / 60:.0f} min). Expected a player "
            "whose whole body is in the picture; when it is slow motion, give --time-scale. Nothing was added."
        )
    return replace(clip, strike_s=hear_strike(clip.path, time_scale=clip.time_scale))


def _holds(clip: Clip, time_s: float) -> bool:
    return clip.begin_s <= time_s and (clip.end_s is None or time_s < clip.end_s)


def _between_frames(info: VideoInfo, begin_s: float, end_s: float) -> tuple[float, float | None]:
    """Move the ends of a part into the middle between two frames, where rounding cannot shift them by one."""
    first, stop = (int(np.searchsorted(info.time_s, s)) for s in (begin_s, end_s))
    begin = 0.0 if first == 0 else float(info.time_s[first - 1] + info.time_s[first]) / 2
    return begin, None if stop >= info.n_frames else float(info.time_s[stop - 1] + info.time_s[stop]) / 2


def _tell_cameras_apart(recordings: Sequence[ReadClip]) -> list[CameraPlan]:
    """Cameras of recordings that carry no camera's name: two that run at the same time are two cameras."""
    names: list[CameraPlan] = []
    for i, clip in enumerate(recordings):
        camera, number = clip.camera, 1
        while any(names[j].name == camera.name and _may_overlap(recordings[j], clip) for j in range(i)):
            number += 1
            camera = replace(clip.camera, name=f"{clip.camera.name.rstrip('0123456789')}{number}")
        names.append(camera)
    return names


def _may_overlap(a: ReadClip, b: ReadClip) -> bool:
    if a.captured_at is None or b.captured_at is None:
        return True
    first, second = sorted([a, b], key=lambda clip: clip.captured_at or datetime.min)
    gap = ((second.captured_at or datetime.min) - (first.captured_at or datetime.min)).total_seconds()
    return gap + second.resolution_s < first.info.duration_s * first.time_scale


def _hash(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
