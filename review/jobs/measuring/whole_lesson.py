"""Measures every swing of a lesson and keeps the numbers in the library."""

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import dataclass, replace

from review.body import as_right_hander, find_view, read_off
from review.errors import BadInputError
from review.jobs.measuring.beside import time_beside
from review.jobs.measuring.common_views import choose_common_views, keep_common_views
from review.jobs.measuring.kept_landmarks import load_landmarks, make_order, save_landmarks
from review.jobs.measuring.kept_setups import KeptSetups, load_setups
from review.jobs.measuring.landmarks import TrackOrder, track_clips
from review.jobs.measuring.lesson_notes import gather_notes, say_mixed
from review.jobs.measuring.one_swing import ClipToMeasure, MeasuredSwing, measure_tracks
from review.jobs.pairing.camera_sound import load_sound_offsets, needs_learning, note_sound, tell_sound
from review.jobs.pairing.lesson_speeds import settle_speeds
from review.jobs.pressure.measuring import keep_pressure
from review.jobs.records import allows_now, say_why_not
from review.lesson import Clip, Handedness, Lesson, Measure, Pupil, Purpose, SoundOffset, Swing, View
from review.lesson.words import count
from review.library import Library
from review.pose import Effort, LandmarkTrack
from review.progress import Progress, silent

# raised whenever the numbers change for the same landmarks: thorough numbers of an older method give way to quick ones
METHOD = 5
_FAMILY = "body"

Result = tuple[Swing, MeasuredSwing, tuple[Measure, ...], Effort]
"""A swing, what was measured, the numbers of it, and the effort its landmarks were made with."""


def name_method(effort: Effort) -> str:
    """Name today's way of measuring, as it is kept with the numbers."""
    return f"{_FAMILY} {METHOD} {effort.value}"


@dataclass(frozen=True)
class LessonMeasured:
    """How many swings were measured, how many of them anew, why others were not (by swing order), what to know.

    ``has_refused_setup`` tells that a kept camera or player set-up could not be used; the notes say why.
    """

    n_measured: int
    n_new: int
    problems: dict[int, str]
    notes: tuple[str, ...] = ()
    has_refused_setup: bool = False


def measure_lesson(
    library: Library,
    lesson: Lesson,
    effort: Effort,
    progress: Progress = silent,
    only: Collection[str] | None = None,
    keep: Callable[[Library, Lesson, Sequence[Result]], int] | None = None,
) -> LessonMeasured:
    """Measure the swings of a lesson; landmarks that are kept already are used again.

    ``only`` are ids of swings: those alone are measured, from the landmarks that are kept now, whatever is still to
    come, and from the views that the lesson's other swings have too. ``keep`` takes the results in the place of the
    library's numbers; it returns for how many swings better ones stayed.

    A stopped run keeps the landmarks of every clip that was finished. A quick run uses thorough landmarks where they
    are kept, and never puts quick numbers in the place of thorough ones.

    Raises
    ------
    BadInputError
        When consent to measure is missing.
    """
    pupil = library.pupil(lesson.pupil_id)
    if not allows_now(pupil, Purpose.MEASURE, lesson.held_on):
        raise BadInputError(
            f"{pupil.name} has not agreed to be measured on video: consent 'measure' is not on record"
            f"{say_why_not(pupil)}. "
            "Ask first, then record it: lesson-review add --pupil NAME --consent-by NAME --consent-for measure."
        )
    swings, problems = _leave_out_let_go(library, lesson)
    beside: list[set[View]] = []
    if only is not None:
        beside = [{clip.view for clip in s.clips if clip.view is not None} for s in swings if s.id not in only]
        swings = [_with_kept_clips(library, swing, pupil) for swing in swings if swing.id in only]
        swings = [swing for swing in swings if swing.clips]
    clips = [clip for swing in swings for clip in swing.clips]
    tracks, efforts, unseen, n_new = _landmarks(library, clips, pupil.handedness, effort, progress)
    scales, unclear = settle_speeds(library, clips, tracks, pupil.handedness)
    views = {clip.id: clip.view or _find_view(tracks[clip.id], pupil) for clip in clips if clip.id in scales}
    problems_by_clip = unseen | unclear
    seen = [{views[c.id] for c in s.clips if c.id in views} for s in swings]
    common = choose_common_views([*seen, *filter(None, beside)])
    setups = load_setups(library, lesson.id)
    offsets = load_sound_offsets(library, (clip.camera for clip in clips))
    results: list[Result] = []
    for swing in swings:
        usable = [clip for clip in swing.clips if clip.id in scales]
        chosen = keep_common_views(usable, views, common)
        if not chosen:
            problems[swing.order] = "; ".join(problems_by_clip[clip.id] for clip in swing.clips)
            continue
        try:
            measured = _measure_swing(library, usable, chosen, tracks, pupil, views, setups, scales, offsets)
        except BadInputError as error:
            problems[swing.order] = str(error)
            continue
        # each view and each model errs in its own way
        setup = f"{pupil.id} {lesson.id} " + " ".join(
            sorted(f"{m.seen.view.value} {m.seen.track.model}" for m in measured.clips)
        )
        measures = (*read_off(measured.body, measured.clips[0].seen, setup), *measured.tempo)
        made_with = Effort.QUICK if any(efforts[c.id] is Effort.QUICK for c in chosen) else Effort.THOROUGH
        results.append((swing, measured, measures, made_with))
    n_better = (keep or _keep)(library, lesson, results)
    if keep is None:
        keep_pressure(library, lesson, only)
    notes = gather_notes(
        [(next(c for c in s.clips if library.footage_of(c) == m.path), m) for s, r, *_ in results for m in r.clips]
    )
    notes += [problems_by_clip[c.id] for swing, *_ in results for c in swing.clips if c.id in problems_by_clip]
    notes += tell_sound(load_sound_offsets(library, (clip.camera for clip in clips)))
    if n_better:
        notes.append(f"Thorough numbers are kept for {count(n_better, 'swing')}; without --quick they are renewed.")
    n_quick = sum(made_with is Effort.QUICK for *_, made_with in results) - n_better
    if only is None and 0 < n_quick < len(results):
        notes.append(say_mixed(n_quick, len(results)))
    is_refused = any(measured.has_refused_setup for _, measured, *_ in results)
    return LessonMeasured(len(results), n_new, problems, tuple(notes), is_refused)


def _leave_out_let_go(library: Library, lesson: Lesson) -> tuple[list[Swing], dict[int, str]]:
    """The swings with clips that are all here, and by order why others are not measured: their numbers stay."""
    gone = library.clips_let_go(lesson.id)
    swings = [swing for swing in library.swings(lesson.id) if swing.clips]
    problems = {
        swing.order: f"its clip was let go on {gone[clip.id]}; the numbers it has stay"
        for swing in swings
        for clip in swing.clips
        if clip.id in gone
    }
    return [swing for swing in swings if swing.order not in problems], problems


def _with_kept_clips(library: Library, swing: Swing, pupil: Pupil) -> Swing:
    kept = tuple(clip for clip in swing.clips if load_landmarks(library, clip, pupil.handedness) is not None)
    return replace(swing, clips=kept)


def _keep(library: Library, lesson: Lesson, results: Sequence[Result]) -> int:
    """Write what was measured, but no quick numbers over thorough ones; return for how many swings those stayed.

    Such a swing still gets the key frames of clips that have none yet, as of a second side added since.
    """
    n_better = 0
    with library.transaction():
        methods = library.measure_methods(lesson.id)
        for swing, measured, measures, made_with in results:
            has_better = made_with is Effort.QUICK and name_method(Effort.THOROUGH) in methods.get(swing.id, ())
            if has_better:
                n_better += 1
            else:
                library.set_measures(swing.id, measures, name_method(made_with))
            for seen in (*measured.clips, *measured.beside):
                clip = next(c for c in swing.clips if library.footage_of(c) == seen.path)
                if has_better and any(key.source != "coach" for key in library.key_frames(clip.id)):
                    continue
                library.set_key_frames(clip.id, seen.seen.key_frames)
                source = clip.time_scale_source or "found"
                known = replace(
                    clip,
                    view=clip.view or seen.seen.view,
                    time_scale=seen.seen.time_scale,
                    time_scale_source=source,
                )
                if known != clip:
                    library.update_clip(known)
                note_sound(library, known, seen.timed)
    return n_better


def _find_view(track: LandmarkTrack, pupil: Pupil) -> View:
    try:
        return find_view(as_right_hander(track, pupil.handedness))[0]
    except BadInputError:
        return View.FACE_ON  # too little seen to tell; measuring it will say why it cannot be measured


def _landmarks(
    library: Library, clips: Sequence[Clip], handedness: Handedness, effort: Effort, progress: Progress
) -> tuple[dict[str, LandmarkTrack], dict[str, Effort], dict[str, str], int]:
    """Tracks, the effort each was made with, and problems by clip, and how many tracks are new."""
    tracks: dict[str, LandmarkTrack] = {}
    efforts: dict[str, Effort] = {}
    orders: dict[str, TrackOrder] = {}
    by_id = {clip.id: clip for clip in clips}
    for clip in clips:
        kept = load_landmarks(library, clip, handedness)
        if kept is not None and kept[1] in (effort, Effort.THOROUGH):
            tracks[clip.id], efforts[clip.id] = kept
        else:
            orders[clip.id] = make_order(library, clip, handedness, effort)

    def keep(clip_id: str, track: LandmarkTrack) -> None:
        save_landmarks(library, by_id[clip_id], effort, handedness, track)

    new, problems = track_clips(orders, progress, keep)
    named = {clip_id: f"{by_id[clip_id].original_name}: {problem}" for clip_id, problem in problems.items()}
    return tracks | new, efforts | dict.fromkeys(new, effort), named, len(new)


def _measure_swing(
    library: Library,
    usable: Sequence[Clip],
    chosen: Sequence[Clip],
    tracks: Mapping[str, LandmarkTrack],
    pupil: Pupil,
    views: Mapping[str, View],
    setups: KeptSetups,
    scales: Mapping[str, float],
    offsets: Mapping[str, SoundOffset],
) -> MeasuredSwing:
    """Measure from both views where there are two, the face-on clip leads; the other usable clips are timed alone."""
    ordered = sorted(chosen, key=lambda clip: views[clip.id] is View.DOWN_THE_LINE)[:2]
    others = [clip for clip in usable if clip not in ordered]

    def describe(clip: Clip) -> ClipToMeasure:
        return ClipToMeasure(
            path=library.footage_of(clip),
            view=clip.view,
            setup=setups.camera_of(clip, views[clip.id]),
            time_scale=scales[clip.id],
            coach_marks=tuple(k for k in library.key_frames(clip.id) if k.source == "coach"),
            players=setups.players_of(clip, views[clip.id]),
            name=clip.original_name,
            sound_offset=offsets.get(clip.camera),
            learn_sound_offset=needs_learning(offsets.get(clip.camera)),
        )

    hand, stature_m = pupil.handedness, pupil.stature_m
    measured = measure_tracks([describe(c) for c in ordered], [tracks[c.id] for c in ordered], hand, stature_m)
    return time_beside(measured, [describe(c) for c in others], [tracks[c.id] for c in others], hand, stature_m)
