"""The three numbers beside the newest swing: which, and how they are said; without Qt."""

import math
from collections.abc import Collection, Sequence

from review.app.language import tr
from review.app.number_words import SaidNumber, say_label, say_measure_apart
from review.app.sentences import say_sentences
from review.compare import MeasureKey
from review.jobs.showing.lesson import LessonShown
from review.lesson import KINDS, Source, Swing
from review.lettering import capitalise

N_NUMBERS = 3
_FIRST: tuple[MeasureKey, ...] = (("club_path_deg", ""), ("hip_turn_deg", "impact"), ("trail_heel_lift_cm", "impact"))
_OTHERS: tuple[MeasureKey, ...] = (
    *(("face_to_path_deg", ""), ("attack_angle_deg", "")),
    *(("shoulder_turn_deg", "impact"), ("hip_shift_cm", "impact")),
)


def list_choices(shown: LessonShown) -> tuple[MeasureKey, ...]:
    """The measures that can be chosen: the aim's, those the lesson has values of, and usual ones."""
    aims = tuple((aim.name, aim.key_frame) for aim in shown.lesson.aim_measures)
    return tuple(dict.fromkeys((*aims, *shown.keys, *_FIRST, *_OTHERS)))


def choose_first(shown: LessonShown) -> tuple[MeasureKey, ...]:
    """The three to begin with: the aim's, filled up with the usual ones."""
    aims = tuple((aim.name, aim.key_frame) for aim in shown.lesson.aim_measures)
    return tuple(dict.fromkeys((*aims, *_FIRST)))[:N_NUMBERS]


def step_choice(chosen: Sequence[MeasureKey], place: int, shown: LessonShown) -> tuple[MeasureKey, ...]:
    """Put the next measure that is not up yet into one of the three places."""
    known = list_choices(shown)
    at = known.index(chosen[place]) if chosen[place] in known else -1
    others = [key for key in (*known[at + 1 :], *known[: at + 1]) if key not in chosen]
    return tuple(others[0] if others and n == place else key for n, key in enumerate(chosen))


def find_newest(shown: LessonShown) -> Swing | None:
    """The swing that was struck last; None before the first."""
    return shown.swings[-1] if shown.swings else None


def say_numbers(
    shown: LessonShown,
    swing: Swing,
    chosen: Sequence[MeasureKey],
    measured_now: Collection[str] = (),
    waiting: Collection[str] = (),
) -> tuple[SaidNumber, ...]:
    """Say the chosen numbers of a swing; what is not there yet is waited for, what cannot be is said to be missing.

    ``measured_now`` and ``waiting`` are ids of clips that are being measured and that wait for it.
    """
    clips = {clip.id for clip in swing.clips}
    awaited = "–"
    if clips.intersection(measured_now):
        awaited = tr("being measured")
    elif clips.intersection(waiting):
        awaited = tr("waits to be measured")
    return tuple(_say(shown, swing, key, awaited) for key in chosen)


def _say(shown: LessonShown, swing: Swing, key: MeasureKey, awaited: str) -> SaidNumber:
    label = capitalise(say_label(*key))
    measure = shown.measures.get(swing.id, {}).get(key)
    if measure is None:
        return SaidNumber(label, awaited if KINDS[key[0]].source is Source.POSE else "–")
    if not math.isfinite(measure.value):
        return SaidNumber(label, say_sentences(measure.why_missing) or "–")
    return SaidNumber(label, *say_measure_apart(measure, shown.pupil.handedness))
