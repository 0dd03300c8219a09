"""Before a lesson, in under a minute: the last verdict, the cue that worked best, what to look at first."""

from dataclasses import dataclass
from pathlib import Path

from review.compare.cues import CueWorked
from review.compare.keys import keys_in_order
from review.compare.over_visits import Visit
from review.compare.verdict import Verdict
from review.compare.visits import Held
from review.jobs.history.reading import History, PupilYears
from review.jobs.history.speech import ENGLISH, Speech
from review.jobs.history.words import say_cue, say_kept
from review.lesson import Lesson, Pupil
from review.lettering import capitalise
from review.library import Library

_MOST_MEASURES = 3
_WORTH_LOOKING = (Held.CAME_BACK, Held.PARTLY)


@dataclass(frozen=True)
class BeforeLesson:
    """What is known of a pupil before the next lesson: ``aims`` are the histories of the last aim's measures.

    ``look_first`` is the measure that came back or only partly held at the last visit, else the aim's first; ``best``
    the cue that most surely moved it, with its history; where it has none, the surest of the others. None where there
    are no numbers. ``other_cues`` are the best of the other measures, the surest first.
    """

    pupil: Pupil
    last: Lesson | None
    aims: tuple[History, ...] = ()
    best: tuple[History, CueWorked] | None = None
    look_first: History | None = None
    other_cues: tuple[tuple[History, CueWorked], ...] = ()


@dataclass(frozen=True)
class BeforeSaid:
    """The same in words; any may be empty."""

    title: str
    verdicts: tuple[str, ...]
    best: str
    look_first: str
    other_cues: tuple[str, ...] = ()


def read_before(library: Library, pupil_id: str) -> BeforeLesson:
    """Read what to know before a pupil's next lesson."""
    years = PupilYears(library, pupil_id)
    if not years.taught:
        return BeforeLesson(years.pupil, None)
    last = years.taught[-1].lesson
    choices = years.choices
    with_aim = next((held.lesson for held in reversed(years.taught) if held.lesson.aim_measures), last)
    keys = [key for key in keys_in_order([choices], with_aim.aim_measures)[0] if key in choices]
    aims = tuple(years.look_at(key, choices) for key in (keys or list(choices))[:_MOST_MEASURES])
    aims = tuple(history for history in aims if history.visits)
    gone = [history for history in aims if (k := history.visits[-1].kept) is not None and k.outcome in _WORTH_LOOKING]
    first = next(iter((*gone, *aims)), None)
    worked = [(history, cue) for history in aims for cue in history.cues[:1]]
    # sorted keeps what to look at first ahead, whatever moved another measure more surely
    worked.sort(key=lambda pair: (pair[0] is not first, -_find_sureness(*pair)))
    return BeforeLesson(years.pupil, last, aims, next(iter(worked), None), first, tuple(worked[1:]))


def show_before(folder: Path, pupil_id: str) -> BeforeLesson:
    """Read it for the window.

    Raises
    ------
    BadInputError
        When the pupil is no longer there.
    """
    with Library.open(folder, create=False) as library:
        return read_before(library, pupil_id)


def say_before(before: BeforeLesson, speech: Speech = ENGLISH) -> BeforeSaid:
    """Say it in the few words that a minute is enough for."""
    tr, last = speech.tr, before.last
    if last is None:
        return BeforeSaid(before.pupil.name, (tr("No lesson yet."),), "", "")
    title = tr("{name}, last lesson {day}", name=before.pupil.name, day=speech.day(last.held_on))
    verdicts = [_say_verdict(history, speech) for history in before.aims]
    if not verdicts:
        verdicts = [tr("The aim of that lesson names no measure that was measured.")]
    first = ""
    cues = [*([before.best] if before.best else []), *before.other_cues]
    best, *others = [f"{say_cue(history, cue, speech)} ({speech.label(*history.key)})" for history, cue in cues] or [""]
    if before.look_first is not None:
        first = _say_first(before.look_first, speech)
    return BeforeSaid(title, tuple(verdicts), best, first or last.aim, tuple(others))


def _say_verdict(history: History, speech: Speech) -> str:
    """'Club path: clear, 4.1° less in-to-out' of the visit last had, and its day where that was not the last lesson."""
    visit, name = history.visits[-1], history.key[0]
    label = capitalise(speech.label(*history.key))
    first, last = visit.batches[0].point.mean, visit.batches[-1].point.mean
    if visit.change is None:
        return f"{label}: {speech.value(name, last, history.pupil.handedness)}"
    change = speech.change(name, first, last, history.pupil.handedness)
    if visit.change.verdict is Verdict.NOT_JUDGED:
        return f"{label}: {change}; {speech.sentence(visit.change.verdict)}"
    return f"{label}: {speech.sentence(visit.change.verdict)}, {change}"


def _say_first(history: History, speech: Speech) -> str:
    visit: Visit = history.visits[-1]
    measure = capitalise(speech.label(*history.key))
    value = speech.value(history.key[0], visit.batches[-1].point.mean, history.pupil.handedness)
    is_known = visit.kept is not None and visit.kept.outcome is not Held.CANT_TELL
    kept = say_kept(history, visit, speech) if is_known else ""
    if not kept:
        return speech.tr("{measure}: the last batch ended at {value}", measure=measure, value=value)
    return speech.tr("{measure}: {then} The last batch ended at {value}.", measure=measure, then=kept, value=value)


def _find_sureness(history: History, cue: CueWorked) -> float:
    return cue.evidence * history.wanted if history.wanted else abs(cue.evidence)
