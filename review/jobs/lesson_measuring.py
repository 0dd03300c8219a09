"""Measures every swing of a lesson and keeps the numbers in the library."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from review.body import CameraSetup, as_right_hander, find_view, read_off
from review.errors import BadInputError
from review.jobs.landmarks import TrackOrder, track_clips
from review.jobs.measuring import ClipToMeasure, MeasuredSwing, measure_tracks
from review.jobs.setup_files import parse_camera_setup
from review.lesson import Clip, Lesson, Measure, Pupil, Purpose, Swing, View
from review.library import Library
from review.pose import Effort, LandmarkTrack, MediaPipeEstimator
from review.progress import Progress, silent

# raised whenever the numbers change for the same landmarks, so that kept measures are made anew
METHOD = 1
_KIND = "landmarks"


@dataclass(frozen=True)
class LessonMeasured:
    """How many swings were measured, how many of them anew, why others were not (by swing order), what to know."""

    n_measured: int
    n_new: int
    problems: dict[int, str]
    notes: tuple[str, ...] = ()


def measure_lesson(library: Library, lesson: Lesson, effort: Effort, progress: Progress = silent) -> LessonMeasured:
    """Measure the swings of a lesson; landmarks that are kept already are used again.

    A stopped run keeps the landmarks of every clip that was finished.

    Raises
    ------
    BadInputError
        When consent to measure is missing.
    """
    pupil = library.pupil(lesson.pupil_id)
    if not pupil.allows(Purpose.MEASURE, lesson.held_on):
        raise BadInputError(
            f"{pupil.name} has not agreed to be measured on video (consent 'measure' is not on record). "
            "Ask first, then record it: lesson-review add --pupil NAME --consent-by NAME --consent-for measure."
        )
    swings = [swing for swing in library.swings(lesson.id) if swing.clips]
    tracks, problems_by_clip, n_new = _landmarks(library, [c for s in swings for c in s.clips], effort, progress)
    views = {
        clip.id: clip.view or _find_view(tracks[clip.id], pupil)
        for s in swings
        for clip in s.clips
        if clip.id in tracks
    }
    common = choose_common_views([{views[c.id] for c in s.clips if c.id in views} for s in swings])
    setups = {
        camera: parse_camera_setup(text, f"the set-up kept for {camera}")
        for camera, text in library.camera_setups(lesson.id).items()
    }
    problems: dict[int, str] = {}
    results: list[tuple[Swing, MeasuredSwing, tuple[Measure, ...]]] = []
    for swing in swings:
        clips = _with_common_views([clip for clip in swing.clips if clip.id in tracks], views, common)
        if not clips:
            problems[swing.order] = "; ".join(problems_by_clip[clip.id] for clip in swing.clips)
            continue
        try:
            measured = _measure_swing(library, clips, tracks, pupil, views, setups)
        except BadInputError as error:
            problems[swing.order] = str(error)
            continue
        setup = f"{pupil.id} {lesson.id} " + " ".join(sorted(m.seen.view.value for m in measured.clips))
        results.append((swing, measured, (*read_off(measured.body, measured.clips[0].seen, setup), *measured.tempo)))
    with library.transaction():
        for swing, measured, measures in results:
            library.set_measures(swing.id, measures, f"body {METHOD} {effort.value}")
            for clip_measured in measured.clips:
                clip = next(c for c in swing.clips if library.path_of(c) == clip_measured.path)
                library.set_key_frames(clip.id, clip_measured.seen.key_frames)
                if clip.view is None:
                    library.update_clip(replace(clip, view=clip_measured.seen.view))
    # a note on a camera is the same for all its clips
    notes = tuple(dict.fromkeys(note for _, m, _ in results for clip in m.clips for note in clip.notes))
    return LessonMeasured(len(results), n_new, problems, notes)


def choose_common_views(seen: Sequence[set[View]]) -> set[View]:
    """Choose the views from which all swings of a lesson are measured, so that their errors are alike.

    Two views together are more exact than one, but a number from both must not be compared with a number from one:
    their errors differ. Both are used where every swing has both, else the view that most swings have (face-on where
    it is even).
    """
    if seen and all(len(views) == len(View) for views in seen):
        return set(View)
    counts = {view: sum(view in views for views in seen) for view in View}
    return {max(View, key=lambda view: counts[view])}


def _with_common_views(clips: Sequence[Clip], views: Mapping[str, View], common: set[View]) -> list[Clip]:
    """Keep the clips of the common views; a swing that has none of them is measured from what it has."""
    kept = [clip for clip in clips if views[clip.id] in common]
    return kept or list(clips)


def _find_view(track: LandmarkTrack, pupil: Pupil) -> View:
    try:
        return find_view(as_right_hander(track, pupil.handedness))[0]
    except BadInputError:
        return View.FACE_ON  # too little seen to tell; measuring it will say why it cannot be measured


def load_landmarks(library: Library, clip: Clip) -> LandmarkTrack | None:
    """Return the best landmarks kept for a clip: thorough before quick, None when it was not measured."""
    for effort in (Effort.THOROUGH, Effort.QUICK):
        track = _load(library, clip, effort)
        if track is not None:
            return track
    return None


def _landmarks(
    library: Library, clips: Sequence[Clip], effort: Effort, progress: Progress
) -> tuple[dict[str, LandmarkTrack], dict[str, str], int]:
    tracks: dict[str, LandmarkTrack] = {}
    orders: dict[str, TrackOrder] = {}
    by_id = {clip.id: clip for clip in clips}
    for clip in clips:
        kept = _load(library, clip, effort)
        if kept is not None:
            tracks[clip.id] = kept
        else:
            orders[clip.id] = TrackOrder(library.path_of(clip), effort, clip.time_scale)

    def keep(clip_id: str, track: LandmarkTrack) -> None:
        _save(library, by_id[clip_id], effort, track)

    new, problems = track_clips(orders, progress, keep)
    return tracks | new, problems, len(new)


def _measure_swing(
    library: Library,
    clips: Sequence[Clip],
    tracks: Mapping[str, LandmarkTrack],
    pupil: Pupil,
    views: Mapping[str, View],
    setups: Mapping[str, CameraSetup],
) -> MeasuredSwing:
    """Measure from both views where there are two; the face-on clip leads."""
    ordered = sorted(clips, key=lambda clip: views[clip.id] is View.DOWN_THE_LINE)[:2]
    to_measure = [
        ClipToMeasure(
            path=library.path_of(clip),
            view=clip.view,
            setup=setups.get(clip.camera, setups.get(views[clip.id].value)),
            time_scale=clip.time_scale,
            coach_marks=tuple(k for k in library.key_frames(clip.id) if k.source == "coach"),
        )
        for clip in ordered
    ]
    return measure_tracks(to_measure, [tracks[clip.id] for clip in ordered], pupil.handedness, pupil.stature_m)


def _key(clip: Clip, effort: Effort) -> str:
    return f"{clip.sha256} {MediaPipeEstimator(effort).key} x{clip.time_scale}"


def _save(library: Library, clip: Clip, effort: Effort, track: LandmarkTrack) -> None:
    library.save_arrays(
        _KIND,
        _key(clip, effort),
        {
            "time_s": track.time_s,
            "image_px": track.image_px.astype(np.float32),
            "world_m": track.world_m.astype(np.float32),
            "visibility": track.visibility.astype(np.float32),
            "size_px": np.array([track.width_px, track.height_px]),
        },
        text={"model": track.model, "mode": track.mode},
        clip_sha256=clip.sha256,
    )


def _load(library: Library, clip: Clip, effort: Effort) -> LandmarkTrack | None:
    kept = library.load_arrays(_KIND, _key(clip, effort))
    if kept is None:
        return None
    arrays, text = kept
    try:
        width, height = (int(v) for v in arrays["size_px"])
        return LandmarkTrack(
            time_s=arrays["time_s"].astype(float),
            image_px=arrays["image_px"].astype(float),
            world_m=arrays["world_m"].astype(float),
            visibility=arrays["visibility"].astype(float),
            width_px=width,
            height_px=height,
            model=text["model"],
            mode=text["mode"],
        )
    except (KeyError, ValueError):
        return None  # rebuilt like a missing file
