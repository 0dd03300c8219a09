"""What a pupil's page says, without Qt: who it is, what was agreed to, what the last lesson came to."""

from dataclasses import dataclass
from datetime import date

from review.app.language import say_day, say_number, tr
from review.app.lesson_chart.first_last import FirstLast, say_first_last
from review.app.number_words import say_label
from review.app.sentences import say_sentences
from review.compare import Verdict
from review.jobs.comparing import LessonComparison
from review.jobs.showing.pupil import LessonJudged
from review.lesson import Handedness, Pupil, Purpose
from review.lettering import capitalise


@dataclass(frozen=True)
class LastTime:
    """What the last lesson came to, for the coach to read before the pupil arrives; texts may be empty."""

    verdicts: tuple[str, ...]
    feel: str
    look_first: str


def say_purpose(purpose: Purpose) -> str:
    """What a consent covers, in words."""
    return {
        Purpose.KEEP: tr("keep clips and numbers"),
        Purpose.MEASURE: tr("measure the body on video"),
        Purpose.SHOW: tr("show on this screen to others"),
        Purpose.SHARE: tr("hand out the take-home"),
        Purpose.VOICE: tr("keep the voice"),
    }[purpose]


def describe(pupil: Pupil) -> str:
    """Hand, stature and age in a line."""
    parts = [tr("right-handed") if pupil.handedness is Handedness.RIGHT else tr("left-handed")]
    parts.append(tr("stature not known") if pupil.stature_m is None else f"{say_number(pupil.stature_m, 2)} m")
    if pupil.is_minor:
        parts.append(tr("under age, guardian {name}", name=pupil.guardian or tr("not named")))
    return " · ".join(parts)


def say_consent(pupil: Pupil, today: date) -> tuple[str, ...]:
    """Who agreed, when, to what, until when; and whether it counts today."""
    consent = pupil.consent
    if consent is None:
        who = tr("the guardian") if pupil.is_minor else pupil.name
        return (tr("None on record: nothing is measured or handed out. Ask {who}.", who=who),)
    if not consent.purposes:
        asked = tr("{name} was asked on {day} and refused.", name=consent.given_by, day=say_day(consent.given_on))
        return (asked, tr("Nothing is measured or handed out."))
    lines = []
    if consent.withdrawn_on is not None:
        lines.append(tr("Withdrawn on {day}: nothing is covered any longer.", day=say_day(consent.withdrawn_on)))
    elif consent.until is not None and consent.until < today:
        lines.append(tr("Ended on {day}: ask again.", day=say_day(consent.until)))
    elif pupil.is_minor and consent.given_by != pupil.guardian:
        lines.append(tr("Does not count: a minor's consent must come from the guardian."))
    lines.append(tr("Given by {name} on {day}", name=consent.given_by, day=say_day(consent.given_on)))
    if consent.until is not None:
        lines.append(tr("until {day}", day=say_day(consent.until)))
    covered = [say_purpose(purpose) for purpose in Purpose if purpose in consent.purposes]
    missing = [say_purpose(purpose) for purpose in Purpose if purpose not in consent.purposes]
    lines.append(tr("To: {what}", what=", ".join(covered)))
    if missing:
        lines.append(tr("Not to: {what}", what=", ".join(missing)))
    return tuple(lines)


def say_consent_kept(pupil: Pupil, today: date) -> str:
    """Say what is on record now and what it means, in one line."""
    lines = " ".join(line if line.endswith(".") else f"{line}." for line in say_consent(pupil, today))
    return tr("Consent of {name}: {what}", name=pupil.name, what=lines)


def say_last_time(judged: LessonJudged) -> LastTime:
    """What the last lesson came to: verdicts of its aim, the feel they came with, what to look at first.

    The feel is that of the last batch, and only where a measure of the aim moved.
    """
    compared = judged.compared
    if compared is None:
        return LastTime((say_sentences(judged.why_not),), "", judged.lesson.aim)
    aim = [c for c in compared.comparisons if c.in_aim]
    verdicts, moved, first = [], False, ""
    for comparison in aim:
        said = say_first_last(compared, (comparison.name, comparison.key_frame))
        if said is None:
            continue
        name = capitalise(say_label(comparison.name, comparison.key_frame))
        verdicts.append(f"{name}: {_say_verdict(said)}")
        moved = moved or comparison.verdict in (Verdict.CLEAR, Verdict.LIKELY)
        first = first or tr("{measure}: the last batch ended at {value}", measure=name, value=said.last_words)
    batch, feel = compared.last, ""
    if moved and batch.feel:
        feel = tr("“{feel}”", feel=batch.feel) + (tr(", told: “{cue}”", cue=batch.cue) if batch.cue else "")
    elif moved and batch.cue:
        feel = tr("told: “{cue}”", cue=batch.cue)
    if not verdicts:
        verdicts = [tr("The aim of that lesson names no measure that both batches have.")]
    return LastTime(tuple(verdicts), feel, first or compared.lesson.aim)


def say_lesson(judged: LessonJudged) -> str:
    """The verdict of a lesson in a few words: of the first measure of its aim."""
    compared = judged.compared
    if compared is None:
        return tr("not compared")
    said = _first_of_aim(compared)
    return tr("no measure in its aim") if said is None else _say_verdict(said)


def _first_of_aim(compared: LessonComparison) -> FirstLast | None:
    found = (say_first_last(compared, (c.name, c.key_frame)) for c in compared.comparisons if c.in_aim)
    return next((said for said in found if said is not None), None)


def _say_verdict(said: FirstLast) -> str:
    if not said.verdict:
        return said.change or said.why
    return f"{said.verdict.lower()}, {said.change}"
