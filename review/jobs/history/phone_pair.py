"""The phone's swing beside a typical one of the batch, met at impact, as a video."""

from collections.abc import Mapping, Sequence
from datetime import date
from pathlib import Path

from review.compare import choose_typical
from review.compare.samples import MeasureKey, measures_of_swing
from review.errors import BadInputError
from review.jobs.handing_out.privacy import NoCoverError, Privacy, make_cover
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.lesson import Clip, Handedness, Measure, Pupil, Purpose, Swing, label
from review.lesson.words import say_measure_apart
from review.lettering import capitalise
from review.library import Library
from review.pose import mirror_track
from review.progress import Progress, silent
from review.takehome import ClipSide, Pair, SwingNumber, render_pair

_MOST_LINES = 3


def check_pair_allowed(pupil: Pupil, clip: Path, to: Path) -> None:
    """Say before the work why the video cannot be written.

    Raises
    ------
    BadInputError
        Consent to keep clips is missing, or ``to`` is no name for a video or the pupil's own clip.
    """
    if not pupil.allows(Purpose.KEEP, date.today()):
        raise BadInputError(
            f"{pupil.name} has not agreed that clips are kept, so none is written. Ask first, then record it: "
            "lesson-review add --pupil NAME --consent-by NAME --consent-for keep,measure."
        )
    if to.suffix.lower() != ".mp4":
        raise BadInputError(f"{to} is no name for a video; expected one that ends in .mp4.")
    if to.resolve() == clip.resolve():
        raise BadInputError(f"{to} is the pupil's own clip; give another name for the two beside each other.")


def write_phone_pair(library: Library, measured: PhoneClip, to: Path, progress: Progress = silent) -> Swing:
    """Write both clips in step as an MP4, a minor's face covered; the library stays as it is. Return the batch's swing.

    Raises
    ------
    BadInputError
        As :func:`check_pair_allowed`; no swing of the batch was filmed from the clip's side and measured; a face that
        is to be covered cannot be.
    """
    pupil = measured.pupil
    check_pair_allowed(pupil, measured.path, to)
    privacy = Privacy(pupil, pupil.is_minor, pupil.is_minor, "", with_body=True)
    swing, clip = _choose_swing(library, measured)
    body = library.measures(measured.lesson.id)
    own = {key: measure for key, measure in measures_of_swing(swing, body).items() if not measure.why_missing}
    keys = [one.key for one in measured.beside if one.key in own][:_MOST_LINES]
    kept = load_landmarks(library, clip, pupil.handedness)
    seen = measured.seen
    track = mirror_track(seen.track) if pupil.handedness is Handedness.LEFT else seen.track
    own_clip = Clip("", "", "", measured.path.name, view=measured.view, time_scale=seen.time_scale)
    footage, known = library.footage_of(clip), library.key_frames(clip.id)
    try:
        pair = Pair(
            ClipSide(
                footage,
                f"Batch {measured.batch.number}, swing {swing.order}",
                measured.batch.number,
                next(frame.time_s for frame in known if frame.name == "impact"),
                known,
                clip.time_scale,
                pupil.handedness,
                _say_numbers(keys, own, pupil),
                None if kept is None else kept[0],
                cover=make_cover(privacy, clip, footage, None if kept is None else kept[0]),
            ),
            ClipSide(
                measured.path,
                "The phone's clip",
                measured.batch.number + 1,
                next(frame.time_s for frame in seen.key_frames if frame.name == "impact"),
                seen.key_frames,
                seen.time_scale,
                pupil.handedness,
                _say_numbers(keys, {one.key: one.measure for one in measured.beside}, pupil),
                track,
                cover=make_cover(privacy, own_clip, measured.path, track),
            ),
            measured.view.value,
            f"Swing {swing.order} and the phone's clip",
        )
    except NoCoverError as error:
        raise BadInputError(f"No clips beside each other: {error}.") from error
    render_pair(pair, to, progress)
    return swing


def _choose_swing(library: Library, measured: PhoneClip) -> tuple[Swing, Clip]:
    """The typical one of the batch's swings that were filmed from the clip's side and whose impact is known."""
    gone = library.clips_let_go(measured.lesson.id)
    if not any(frame.name == "impact" for frame in measured.seen.key_frames):
        raise BadInputError("No clips beside each other: impact was not found in the phone's clip.")
    of_view: dict[str, Clip] = {}
    swings = [swing for swing in library.swings(measured.lesson.id) if swing.batch_id == measured.batch.id]
    for swing in swings:
        for clip in swing.clips:
            is_timed = any(frame.name == "impact" for frame in library.key_frames(clip.id))
            if clip.view is measured.view and clip.id not in gone and is_timed:
                of_view.setdefault(swing.id, clip)
    filmed = [swing for swing in swings if swing.id in of_view]
    chosen = choose_typical(filmed, library.measures(measured.lesson.id), measured.lesson)
    if chosen is None:
        raise BadInputError(
            f"No clips beside each other: no swing of batch {measured.batch.number} was filmed {measured.view} and "
            "measured, or its clip was let go. Ask for a clip from another side (face-on or down-the-line)."
        )
    return chosen, of_view[chosen.id]


def _say_numbers(
    keys: Sequence[MeasureKey], measures: Mapping[MeasureKey, Measure], pupil: Pupil
) -> tuple[SwingNumber, ...]:
    return tuple(
        SwingNumber(capitalise(label(*key)), *say_measure_apart(measures[key], pupil.handedness)) for key in keys
    )
