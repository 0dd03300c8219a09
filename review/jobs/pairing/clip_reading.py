"""One clip file: what it is, when it was filmed, by which camera, and the strike heard in it."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import datetime
from fnmatch import fnmatch
from pathlib import Path

from review.jobs.lesson_file import CameraPlan
from review.jobs.pairing.impact import hear_strikes
from review.jobs.recordings.searching import is_recording
from review.jobs.records import ID_SPACE
from review.lesson import Clip, Lesson
from review.media import Footage, VideoInfo, probe_video, read_capture_time
from review.swing import scale_of_capture
from review.swing.strike import Strike, choose_strike, choose_together

_CAMERA_ENDING = "_cam"


@dataclass(frozen=True, eq=False)
class ReadClip:
    """A clip file as read, before it is part of a lesson; fields as in ``Clip``.

    ``heard`` are all sounds that may be its strike; in a long recording they are not looked for here.
    """

    path: Path
    info: VideoInfo
    camera: CameraPlan
    captured_at: datetime | None
    resolution_s: float
    strike_s: float | None
    time_scale: float
    time_scale_source: str
    begin_s: float = 0.0
    end_s: float | None = None
    recording: str = ""
    heard: tuple[Strike, ...] = ()


def read_clip(path: Path, cameras: Sequence[CameraPlan], time_scale: float | None) -> ReadClip:
    """Read a clip; the first camera whose pattern fits the file's name has it.

    Raises
    ------
    BadInputError, MachineError
        As for ``probe_video``.
    """
    info = probe_video(path)
    captured = read_capture_time(path, info)
    camera = _camera_of(path, cameras)
    given = time_scale or camera.time_scale
    scale = given or scale_of_capture(info.frame_rate_hz, info.capture_rate_hz)
    heard = () if is_recording(info, scale) else hear_strikes(path, scale)
    strike = choose_strike(heard, time_scale=scale)
    return ReadClip(
        path=path,
        info=info,
        camera=camera,
        captured_at=None if captured is None else captured.at,
        resolution_s=1.0 if captured is None else captured.resolution_s,
        strike_s=None if strike is None else strike.time_s,
        time_scale=scale,
        time_scale_source="coach" if given else "",
        heard=heard,
    )


def settle_strikes(clips: Sequence[ReadClip]) -> tuple[ReadClip, ...]:
    """Choose the strike of every clip again, by where its camera has them and how loud.

    The certainties of ``heard`` stay those of the sound alone: pairing weighs the place in the clip by itself.
    """
    cameras: dict[tuple[str, float], list[int]] = {}
    for i, clip in enumerate(clips):
        if clip.heard:
            cameras.setdefault((clip.camera.name, clip.time_scale), []).append(i)
    settled = list(clips)
    for (_, time_scale), members in cameras.items():
        chosen = choose_together([clips[i].heard for i in members], time_scale)
        for i, strike in zip(members, chosen, strict=True):
            settled[i] = replace(clips[i], strike_s=None if strike is None else strike.time_s)
    return tuple(settled)


def _camera_of(path: Path, cameras: Sequence[CameraPlan]) -> CameraPlan:
    for camera in cameras:
        if fnmatch(path.name, camera.files):
            return camera
    # without a plan, clips whose names end alike after '_cam' come from one camera
    _, marked, ending = path.stem.rpartition(_CAMERA_ENDING)
    return CameraPlan(name=f"cam{ending}" if marked else "cam1", files="*")


def as_clip(lesson: Lesson, clip: ReadClip, sha256: str, file: str) -> Clip:
    """Make a clip of a lesson, given its stored copy (both '' while there is none)."""
    # the same swing of a recording is the same clip, whether the recording is kept or a copy of its part
    source = f"{clip.recording} {clip.begin_s:.2f}" if clip.recording else sha256 or clip.path
    return Clip(
        id=uuid.uuid5(ID_SPACE, f"{lesson.id} {source}").hex,
        sha256=sha256,
        file=file,
        original_name=Footage(clip.path, clip.begin_s).name,
        camera=clip.camera.name,
        view=clip.camera.view,
        captured_at=clip.captured_at,
        captured_resolution_s=clip.resolution_s,
        duration_s=clip.info.duration_s,
        n_frames=clip.info.n_frames,
        strike_s=clip.strike_s,
        strikes=tuple((strike.time_s, strike.certainty) for strike in clip.heard),
        time_scale=clip.time_scale,
        time_scale_source=clip.time_scale_source,
        begin_s=clip.begin_s,
        end_s=clip.end_s,
        recording=clip.recording,
    )
