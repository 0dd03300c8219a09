"""A camera set-up marked on a still of a lesson: which cameras there are, keeping the marks, what follows from them."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path

import numpy as np

from review.body import CameraPlace, CameraSetup, as_right_hander, find_view, mirror_setup, place_camera
from review.body.camera_setup import NOMINAL_DIRECTION_DEG
from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.measuring.kept_setups import keep_camera_setup, load_setups
from review.jobs.measuring.landmarks import TrackOrder, track_clip
from review.jobs.processes import run_one_apart
from review.jobs.records import allows_now
from review.lesson import Clip, Handedness, KeyFrame, KeyFrameName, Pupil, Purpose, View
from review.library import Library
from review.media import Footage, probe_video
from review.media.footage import as_footage
from review.pose import Effort, LandmarkTrack
from review.progress import Progress, silent

_STILL_S = 0.15
"""The player stands still for so long at least up to the address; as where a swing is measured."""
_NINETY = 1.645
"""From a standard deviation to the 90 % interval."""


@dataclass(frozen=True)
class CameraToMark:
    """A camera of a lesson with the clip and frame to mark it on, and what is kept of it.

    ``place`` is the name it is kept under; ``is_address`` tells that the frame is a found address.
    """

    place: str
    clip: Clip
    frame: int
    is_address: bool
    setup: CameraSetup | None

    @property
    def view(self) -> View | None:
        """Where it stands, None where nobody said and it was not found yet."""
        return self.clip.view


@dataclass(frozen=True)
class CameraFound:
    """What follows from a set-up: how far the camera stands off square, seen from above, degrees, within 90 %.

    + : the target end of the stick lies farther away (face-on), or points more to the player's side (down the line),
    than square. ``is_used`` False: it cannot be; ``notes`` say why. ``seen`` is the player as tracked about the still.
    """

    view: View
    off_deg: float
    error_deg: float
    is_used: bool
    notes: tuple[str, ...] = ()
    seen: LandmarkTrack | None = field(default=None, repr=False, compare=False)


def list_cameras(folder: Path, lesson_id: str, progress: Progress = silent) -> tuple[CameraToMark, ...]:
    """The cameras that a lesson has clips of, face-on first, each with an address frame where one is known.

    Raises
    ------
    BadInputError
        There is no such lesson any longer, or what is kept can no longer be understood.
    """
    with Library.open(folder, create=False) as library:
        swings = library.swings(lesson_id)
        setups = load_setups(library, lesson_id)
        by_camera: dict[str, list[Clip]] = {}
        for clip in (clip for swing in swings for clip in swing.clips):
            by_camera.setdefault(clip.camera or (clip.view or ""), []).append(clip)
        cameras = []
        for n, clips in enumerate(by_camera.values(), start=1):
            clip, address = _choose_clip(library, clips)
            setup = None if clip.view is None else setups.camera_of(clip, clip.view)
            setup = setup or setups.cameras.get(clip.camera)
            frame = 0 if address is None else address.frame
            cameras.append(CameraToMark(setups.place_of(clip, clip.view), clip, frame, address is not None, setup))
            progress(n, len(by_camera))
        return tuple(sorted(cameras, key=lambda one: (one.view is View.DOWN_THE_LINE, one.place)))


def _choose_clip(library: Library, clips: Sequence[Clip]) -> tuple[Clip, KeyFrame | None]:
    for clip in clips:
        address = _address_of(library, clip)
        if address is not None:
            return clip, address
    return clips[0], None


def _address_of(library: Library, clip: Clip) -> KeyFrame | None:
    return next((key for key in library.key_frames(clip.id) if key.name == KeyFrameName.ADDRESS), None)


def put_camera_setup(folder: Path, lesson_id: str, place: str, text: str | None) -> None:
    """Keep the text of a camera set-up with a lesson, as ``add --setup`` does; None = forget what is kept.

    Raises
    ------
    BadInputError
        When it cannot be understood, or the lesson is gone; nothing is changed.
    """
    with Library.open(folder, create=False) as library:
        library.lesson(lesson_id)
        if text is None:
            library.remove_camera_setup(lesson_id, place)
        else:
            keep_camera_setup(library, lesson_id, place, text)


def find_camera(
    folder: Path,
    lesson_id: str,
    camera: CameraToMark,
    progress: Progress = silent,
    seen: LandmarkTrack | None = None,
) -> CameraFound:
    """Say what follows from the set-up of a camera, whether or not its clip was measured.

    Of a clip without landmarks the still is looked at in another process, so that a window is not held up; not where
    the player was ``seen`` on it before.

    Raises
    ------
    BadInputError
        When the pupil has not agreed to be measured, or nobody is seen on the still.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        pupil = library.pupil(lesson.pupil_id)
        if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
            raise BadInputError(f"{pupil.name} has not agreed to be measured on video.")
        kept = load_landmarks(library, camera.clip, pupil.handedness)
        footage = library.footage_of(camera.clip)
    track = seen
    if track is None and kept is not None:
        track = _part(kept[0], camera.clip, camera.frame)
    if track is None:
        track = run_one_apart(partial(_look_at_still, footage, camera, pupil.handedness), progress)
    return compute_camera(camera, track, pupil)


def _part(track: LandmarkTrack, clip: Clip, frame: int) -> LandmarkTrack | None:
    """The seen frames up to a still, as many as a swing is measured with; None where nobody is seen there."""
    still_s = _STILL_S / clip.time_scale
    frame = min(frame, len(track.time_s) - 1)
    at = (track.time_s >= track.time_s[frame] - still_s) & (track.time_s <= track.time_s[frame])
    at[frame : frame + 3] = True
    at &= track.is_seen
    if not at.any():
        return None
    return replace(
        track,
        time_s=track.time_s[at],
        image_px=track.image_px[at],
        world_m=track.world_m[at],
        visibility=track.visibility[at],
    )


def _look_at_still(
    footage: Path | Footage, camera: CameraToMark, handedness: Handedness, progress: Progress
) -> LandmarkTrack:
    times = probe_video(footage).time_s
    frame = min(camera.frame, len(times) - 1)
    still_s = _STILL_S / camera.clip.time_scale
    first = int(times.searchsorted(times[frame] - still_s))
    last = max(frame, first + 2) + 1
    whole = as_footage(footage)
    begin_s = whole.begin_s if first == 0 else float(times[first])
    part = Footage(whole.path, begin_s, float(times[last]) if last < len(times) else whole.end_s)
    order = TrackOrder(part, Effort.QUICK, camera.clip.time_scale, handedness is Handedness.LEFT)
    track = track_clip(order, progress)
    seen = _part(track, camera.clip, len(track.time_s) - 1)
    if seen is None:
        raise BadInputError("Nobody was found on this still; choose one where the player stands at address.")
    return seen


def compute_camera(camera: CameraToMark, track: LandmarkTrack, pupil: Pupil) -> CameraFound:
    """Place the camera with the player as tracked around the still; as where a swing is measured.

    Raises
    ------
    ValueError
        When nothing was marked.
    """
    setup = camera.setup
    if setup is None:
        raise ValueError("a camera without a set-up cannot be placed by it")
    golfer = as_right_hander(track, pupil.handedness)
    view = camera.view or find_view(golfer)[0]
    if pupil.handedness is Handedness.LEFT:
        setup = mirror_setup(setup, golfer.width_px)
    place = place_camera(setup, golfer, view, slice(0, len(golfer.time_s)), pupil.stature_m)
    return replace(_say(place, view), seen=track)


def _say(place: CameraPlace, view: View) -> CameraFound:
    off = place.target.degrees - NOMINAL_DIRECTION_DEG[view]
    off_deg = float(np.mod(off + 180.0, 360.0) - 180.0)
    return CameraFound(view, off_deg, _NINETY * place.target.sd_deg, place.target.is_known, place.notes)
