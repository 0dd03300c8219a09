"""The points of the body of a lesson's clips, in millimetres, for other programs."""

import numpy as np

from review.body import as_right_hander, assume_direction, find_view
from review.body.golfer import LEAD_ANKLE, TRAIL_ANKLE
from review.body.seen import SeenSwing
from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.measuring.kept_setups import KeptSetups, load_setups
from review.jobs.measuring.one_swing import place_swing
from review.lesson import Clip, Handedness, Lesson, Pupil, Swing, View
from review.library import Library
from review.pose import Landmark
from review.takehome.exports import PointsOfClip

_FEET = [Landmark.LEFT_HEEL, Landmark.RIGHT_HEEL, Landmark.LEFT_TOE, Landmark.RIGHT_TOE]
_MIDDLES = {
    "MID_HIP": (Landmark.LEFT_HIP, Landmark.RIGHT_HIP),
    "MID_SHOULDER": (Landmark.LEFT_SHOULDER, Landmark.RIGHT_SHOULDER),
}


def gather_points(
    library: Library, lesson: Lesson, pupil: Pupil, swings: tuple[Swing, ...]
) -> tuple[tuple[PointsOfClip, ...], tuple[str, ...]]:
    """Return the points of every clip that was measured, and what was left out and why."""
    setups = load_setups(library, lesson.id)
    found = []
    unmeasured: list[str] = []
    names: set[str] = set()
    for swing in swings:
        for clip in swing.clips:
            try:
                points = _read_points(library, swing, clip, pupil, setups, names)
            except BadInputError:
                points = None
            if points is None:
                unmeasured.append(str(swing.order))
            else:
                names.add(points.file_name)
                found.append(points)
    notes = (f"No points of clips that are not measured: swings {', '.join(unmeasured)}.",) if unmeasured else ()
    return tuple(found), notes


def _read_points(
    library: Library, swing: Swing, clip: Clip, pupil: Pupil, setups: KeptSetups, names: set[str]
) -> PointsOfClip | None:
    kept = load_landmarks(library, clip, pupil.handedness)
    if kept is None or len(kept[0].time_s) < 2:
        return None
    track = kept[0]
    golfer = as_right_hander(track, pupil.handedness)
    view = clip.view or find_view(golfer)[0]
    key_frames = library.key_frames(clip.id)
    unplaced = SeenSwing(golfer, view, key_frames, assume_direction(view), clip.time_scale)
    camera, players = setups.camera_of(clip, view), setups.players_of(clip, view)
    seen, *_ = place_swing(unplaced, camera, players, pupil.handedness, pupil.stature_m)
    scale = seen.scale_with(pupil.stature_m)
    # the person as filmed, not mirrored, with its gaps
    still = golfer.image_px[seen.still_frames()]
    x_px = float(np.median(still[:, [LEAD_ANKLE, TRAIL_ANKLE], 0]))
    if pupil.handedness is Handedness.LEFT:
        x_px = track.width_px - 1 - x_px
    ground_px = float(np.median(still[:, _FEET, 1]))
    mm_per_px = scale.cm_per_px * 10.0
    across_mm = (track.image_px[..., 0] - x_px) * mm_per_px
    up_mm = (ground_px - track.image_px[..., 1]) * mm_per_px
    # depth in the picture's own scale is several times too large; in the detector's metric guess it is a body's
    mm = np.stack([across_mm, track.world_m[..., 2] * 1000.0, up_mm], axis=-1)
    mm[~track.is_seen] = np.nan
    rows, labels, descriptions = _name_rows(pupil.handedness)
    middles = [mm[:, list(pair)].mean(axis=1) for pair in _MIDDLES.values()]
    sure = [track.visibility[:, list(pair)].min(axis=1) for pair in _MIDDLES.values()]
    name = f"swing-{swing.order:02d}-{view.value}.c3d"
    if name in names:
        name = f"swing-{swing.order:02d}-{view.value}-{1 + sum(n.startswith(name[:-4]) for n in names)}.c3d"
    along = {View.FACE_ON: "-X" if pupil.handedness is Handedness.LEFT else "+X", View.DOWN_THE_LINE: "+Y"}
    return PointsOfClip(
        file_name=name,
        view=view.value,
        time_s=track.time_s * clip.time_scale,
        xyz_mm=np.concatenate([mm[:, rows], np.stack(middles, axis=1)], axis=1),
        confidence=np.concatenate([track.visibility[:, rows], np.stack(sure, axis=1)], axis=1),
        labels=(*labels, *_MIDDLES),
        descriptions=(*descriptions, *(f"middle of lead and trail {n[4:].lower()}" for n in _MIDDLES)),
        events=tuple((k.name, k.time_s * clip.time_scale, k.source) for k in key_frames),
        toward_target=along[view],
        scale_relative_sd=scale.relative_sd,
        model=track.model,
    )


def _name_rows(handedness: Handedness) -> tuple[list[int], list[str], list[str]]:
    """The landmarks that the tool uses: rows of a track, labels and descriptions, with lead and trail."""
    lead, trail = ("LEFT", "RIGHT") if handedness is Handedness.RIGHT else ("RIGHT", "LEFT")
    labels = [mark.name.replace(lead, "LEAD").replace(trail, "TRAIL") for mark in Landmark]
    return [int(mark) for mark in Landmark], labels, [name.lower().replace("_", " ") for name in labels]
