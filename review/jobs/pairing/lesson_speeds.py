"""At what speed the clips of a lesson play."""

from collections.abc import Mapping, Sequence

from review.body import as_right_hander
from review.errors import BadInputError
from review.jobs.pairing.speed import ask_for_speed, find_clip_speed
from review.lesson import Clip, Handedness
from review.library import Library
from review.pose import LandmarkTrack


def settle_speeds(
    library: Library, clips: Sequence[Clip], tracks: Mapping[str, LandmarkTrack], handedness: Handedness
) -> tuple[dict[str, float], dict[str, str]]:
    """Return the time scale of every clip that has a track, and what to ask where it is not clear, by clip id.

    What the coach gave, or what was found before, stays. A clip that is not clear by itself plays as the clear ones of
    the same camera and frame rate do, where those agree.
    """
    scales = {clip.id: clip.time_scale for clip in clips if clip.time_scale_source and clip.id in tracks}
    unclear: dict[str, str] = {}
    questions: dict[str, str] = {}
    for clip in clips:
        if clip.id not in tracks or clip.id in scales:
            continue
        try:
            found = find_clip_speed(library.footage_of(clip), as_right_hander(tracks[clip.id], handedness))
        except BadInputError as error:
            unclear[clip.id] = f"{clip.original_name}: {error}"
            continue
        if found.is_clear:
            scales[clip.id] = found.time_scale
        else:
            questions[clip.id] = f"{clip.original_name}: {ask_for_speed(found)}"
    agreed: dict[tuple[str, int], set[float]] = {}
    for clip in clips:
        if clip.id in scales:
            agreed.setdefault(_camera_mode(clip), set()).add(scales[clip.id])
    for clip in clips:
        if clip.id in questions:
            known = agreed.get(_camera_mode(clip), set())
            if len(known) == 1:
                scales[clip.id] = next(iter(known))
            else:
                unclear[clip.id] = questions[clip.id]
    return scales, unclear


def _camera_mode(clip: Clip) -> tuple[str, int]:
    return clip.camera, round(clip.n_frames / clip.duration_s) if clip.duration_s > 0 else 0
