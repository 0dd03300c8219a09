"""Measure one swing from its clips: landmarks, key frames, body measures."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from review.body import (
    BodyMeasures,
    CameraPlace,
    CameraSetup,
    SeenSwing,
    as_right_hander,
    assume_direction,
    find_view,
    measure_body,
    mirror_setup,
    place_camera,
)
from review.errors import BadInputError
from review.jobs.measuring.landmarks import TrackOrder, track_clips
from review.jobs.measuring.player_choice import PlayerChoice, choose_correction
from review.jobs.measuring.player_files import PlayerSetup
from review.jobs.pairing.impact import SoundDelay, TimedSwing, time_swing
from review.jobs.pairing.speed import settle_time_scale
from review.lesson import Handedness, KeyFrame, Measure, SoundOffset, View
from review.media import Footage
from review.pose import Effort, LandmarkTrack
from review.progress import Progress, silent
from review.swing import compute_tempo, doubt_tempo
from review.swing.two_views import lock_views


@dataclass(frozen=True)
class ClipToMeasure:
    """One clip and what is known of it; ``view`` or ``time_scale`` None = find it.

    ``name`` is the coach's own where the file lies under another. ``sound_offset`` is the camera's, where it was
    learnt; ``learn_sound_offset`` looks for the ball leaving even where the strike was heard.
    """

    path: Path | Footage
    view: View | None = None
    setup: CameraSetup | None = None
    time_scale: float | None = None
    coach_marks: tuple[KeyFrame, ...] = ()
    players: tuple[PlayerSetup, ...] = ()
    name: str = ""
    sound_offset: SoundOffset | None = None
    learn_sound_offset: bool = False


@dataclass(frozen=True, eq=False)
class MeasuredClip:
    """One clip after measuring; ``player`` says which player set-up corrects it."""

    path: Path | Footage
    seen: SeenSwing
    view_found: bool
    view_certainty: float
    timed: TimedSwing
    time_scale_found: bool = False
    notes: tuple[str, ...] = ()
    is_camera_setup_refused: bool = False
    player: PlayerChoice = PlayerChoice()

    @property
    def strike_s(self) -> float | None:
        """Presentation time of the strike heard, less its delay; None when none was."""
        return self.timed.strike_s


@dataclass(frozen=True, eq=False)
class MeasuredSwing:
    """One swing after measuring; the series of ``body`` lie on the first clip's frames.

    ``beside`` are clips that gave key frames and no numbers.
    """

    clips: tuple[MeasuredClip, ...]
    body: BodyMeasures
    tempo: tuple[Measure, ...]
    beside: tuple[MeasuredClip, ...] = ()

    @property
    def has_refused_setup(self) -> bool:
        """Whether a camera or player set-up that ought to serve could not be used; the notes say why."""
        used = {clip.player.used for clip in self.clips}
        return any(clip.is_camera_setup_refused or clip.player.refused - used for clip in self.clips)


def measure_files(
    clips: Sequence[ClipToMeasure],
    handedness: Handedness,
    stature_m: float | None,
    effort: Effort,
    sound_distance_m: float = 0.0,
    progress: Progress = silent,
) -> MeasuredSwing:
    """Measure one swing from one clip or from a face-on and a down-the-line clip.

    Raises
    ------
    BadInputError
        When a clip cannot be read, shows no person or no swing, when the two views are the same, or when it is not
        clear how fast a clip plays.
    """
    in_mirror = handedness is Handedness.LEFT
    orders = {str(i): TrackOrder(clip.path, effort, clip.time_scale or 1.0, in_mirror) for i, clip in enumerate(clips)}
    tracks, failures = track_clips(orders, progress)
    if failures:
        raise BadInputError("; ".join(failures.values()))
    return measure_tracks(clips, [tracks[str(i)] for i in range(len(clips))], handedness, stature_m, sound_distance_m)


def measure_tracks(
    clips: Sequence[ClipToMeasure],
    tracks: Sequence[LandmarkTrack],
    handedness: Handedness,
    stature_m: float | None,
    sound_distance_m: float = 0.0,
) -> MeasuredSwing:
    """Measure one swing from landmarks that are there already; errors as in ``measure_files``."""
    measured = [
        measure_clip(clip, track, handedness, stature_m, sound_distance_m)
        for clip, track in zip(clips, tracks, strict=True)
    ]
    locked = lock_views([clip.seen for clip in measured])
    measured = [replace(clip, seen=seen) for clip, seen in zip(measured, locked, strict=True)]
    body = measure_body([clip.seen for clip in measured], stature_m)
    first = measured[0].seen
    tempo = compute_tempo(first.key_frames, first.time_scale)
    doubt = doubt_tempo(tempo)
    if doubt:
        measured[0] = replace(measured[0], notes=(*measured[0].notes, doubt))
    return MeasuredSwing(tuple(measured), body, tempo)


def measure_clip(
    clip: ClipToMeasure,
    track: LandmarkTrack,
    handedness: Handedness,
    stature_m: float | None,
    sound_distance_m: float = 0.0,
) -> MeasuredClip:
    """Find what one clip shows by itself: side, speed, key frames, camera; errors as in ``measure_files``."""
    try:
        golfer = as_right_hander(track, handedness)
        found_view, certainty = find_view(golfer)
        view = clip.view or found_view
        time_scale = clip.time_scale or settle_time_scale(clip.path, golfer)
        delay = SoundDelay(sound_distance_m, clip.sound_offset)
        timed = time_swing(clip.path, track, golfer, time_scale, delay, clip.coach_marks, clip.learn_sound_offset)
    except BadInputError as error:
        raise BadInputError(f"{clip.name or clip.path.name}: {error}") from error
    unplaced = SeenSwing(golfer, view, timed.key_frames, assume_direction(view), time_scale)
    if unplaced.is_lost:
        raise BadInputError(
            f"{clip.name or clip.path.name}: the points found on the body jump about from picture to picture. Expected "
            "a player who stands out; put more light on the player, or film closer, and measure again."
        )
    seen, place, player = place_swing(unplaced, clip.setup, clip.players, handedness, stature_m)
    notes = (*place.notes, player.note) if player.note else place.notes
    notes = (*notes, *_note_sight(seen))
    return MeasuredClip(
        path=clip.path,
        seen=seen,
        view_found=clip.view is None,
        view_certainty=certainty,
        timed=timed,
        time_scale_found=clip.time_scale is None,
        notes=notes,
        is_camera_setup_refused=clip.setup is not None and not place.target.is_known,
        player=player,
    )


def place_swing(
    unplaced: SeenSwing,
    setup: CameraSetup | None,
    players: Sequence[PlayerSetup],
    handedness: Handedness,
    stature_m: float | None,
) -> tuple[SeenSwing, CameraPlace, PlayerChoice]:
    """Add to a swing what is known of its camera and player: set-ups where there are, else what the player tells."""
    golfer = unplaced.track
    if setup is not None and handedness is Handedness.LEFT:
        setup = mirror_setup(setup, golfer.width_px)
    place = place_camera(setup, golfer, unplaced.view, unplaced.still_frames(), stature_m)
    player = choose_correction(players, golfer, unplaced.view, handedness)
    seen = replace(
        unplaced, target=place.target, scale=place.scale, focal_px=place.focal_px, correction=player.correction
    )
    return seen, place, player


def _note_sight(seen: SeenSwing) -> Iterator[str]:
    """What makes this clip harder to measure, and what to do."""
    if not seen.has_feet:
        yield "The feet are not in the picture: turns are less exact and the heel is not measured."
    elif seen.is_poorly_seen:
        yield "On many frames nobody was found: turns are less exact. More light, or the whole body in view."
    if seen.light_widening > 1.0:
        half_steps = round(2.0 * seen.light_widening) / 2.0
        wider = f"about {half_steps:g} times as wide" if half_steps > 1.0 else "a little wider"
        yield (
            "The player hardly stands out, in poor light or before a background much like the clothes: intervals are "
            f"{wider}. Put more light on the player, and something plain behind that is clearly lighter or darker."
        )
