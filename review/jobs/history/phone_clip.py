"""Between lessons: a clip from the pupil's phone, measured, put beside the last closed batch, and not kept."""

from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from review.body import SeenSwing
from review.body.measure import read_off
from review.compare.keys import keys_in_order
from review.compare.one_swing import Beside, put_beside, say_why_not_beside
from review.compare.samples import MeasureKey, Sample, counted, make_sample, measures_of_swing
from review.errors import BadInputError
from review.jobs.measuring.one_swing import ClipToMeasure, measure_files
from review.jobs.records import say_why_not
from review.lesson import KINDS, Batch, Lesson, Measure, Pupil, Purpose, Source, Swing, View
from review.library import Library
from review.pose import Effort
from review.progress import Progress, silent


@dataclass(frozen=True)
class PhoneClip:
    """A clip beside the last batch with numbers of the body.

    ``path`` and ``seen`` are the clip and what was found in it, as a right-hander's. ``beside`` are the measures that
    can be put beside each other, the aim's first; ``missing`` the batch's others, each with why; ``device`` those that
    no camera gives. ``notes`` are what measuring says of the clip.
    """

    pupil: Pupil
    lesson: Lesson
    batch: Batch
    view: View
    beside: tuple[Beside, ...]
    missing: tuple[tuple[MeasureKey, str], ...]
    device: tuple[str, ...]
    notes: tuple[str, ...]
    path: Path
    seen: SeenSwing


def measure_phone_clip(
    library: Library,
    pupil: Pupil,
    path: Path,
    *,
    view: View | None = None,
    time_scale: float | None = None,
    effort: Effort = Effort.THOROUGH,
    progress: Progress = silent,
) -> PhoneClip:
    """Measure a clip of one swing and put it beside the last closed batch that has numbers of the body.

    Raises
    ------
    BadInputError
        When the pupil has not agreed to be measured, there is no such batch, or the clip cannot be measured.
    """
    if not pupil.allows(Purpose.MEASURE, date.today()):
        raise BadInputError(
            f"{pupil.name} has not agreed to be measured on video: consent 'measure' is not on record"
            f"{say_why_not(pupil)}. "
            "Ask first, then record it: lesson-review add --pupil NAME --consent-by NAME --consent-for measure."
        )
    lesson, batch, swings, body = _find_batch(library, pupil)
    clip = ClipToMeasure(path, view, time_scale=time_scale)
    measured = measure_files([clip], pupil.handedness, pupil.stature_m, effort, progress=progress)
    seen = measured.clips[0].seen
    found = {
        (measure.name, measure.key_frame): measure
        for measure in (*read_off(measured.body, seen, f"phone {path.name}"), *measured.tempo)
    }
    by_swing = [measures_of_swing(swing, body) for swing in swings]
    aim, others = keys_in_order(by_swing, lesson.aim_measures)
    keys = [*aim, *others]
    samples = {key: make_sample([one.get(key) for one in by_swing], pupil.handedness) for key in keys}
    of_body = [key for key in keys if KINDS[key[0]].source is Source.POSE and samples[key].values]
    there = [key for key in of_body if key in found and not say_why_not_beside(found[key], samples[key])]
    # with more measures looked at together, one is easily out of line; those of the aim are looked at first
    n_aim = sum(key in aim for key in there)
    beside = [put_beside(key, found[key], samples[key], n_aim if key in aim else len(there)) for key in there]
    missing = [(key, _say_why(found.get(key), samples[key], seen.view)) for key in of_body if key not in there]
    device = dict.fromkeys(KINDS[key[0]].label for key in keys if KINDS[key[0]].source is not Source.POSE)
    return PhoneClip(
        pupil,
        lesson,
        batch,
        seen.view,
        tuple(one for one in beside if one is not None),
        tuple(missing),
        tuple(device),
        measured.clips[0].notes,
        path,
        seen,
    )


def _find_batch(
    library: Library, pupil: Pupil
) -> tuple[Lesson, Batch, Sequence[Swing], dict[str, tuple[Measure, ...]]]:
    for held in reversed(library.taught(pupil.id)):
        body = library.measures(held.lesson.id)
        for batch in reversed(held.lesson.batches):
            own = counted([swing for swing in held.swings if swing.batch_id == batch.id])
            n_measured = sum(any(not m.why_missing for m in body.get(swing.id, ())) for swing in own)
            if batch.is_closed and n_measured > 1:
                return held.lesson, batch, own, body
    raise BadInputError(
        f"No closed batch of {pupil.name} has numbers of the body to put the clip beside. Measure a lesson first: "
        "lesson-review measure --lesson NAME."
    )


def _say_why(measure: Measure | None, sample: Sample, view: View) -> str:
    if measure is None:
        return f"one {view} clip does not give it"
    return say_why_not_beside(measure, sample)
