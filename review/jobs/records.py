"""The pupil and the lesson that a plan is about: those of the library, or new ones."""

import uuid
from dataclasses import replace
from datetime import date, datetime

from review.errors import BadInputError
from review.jobs.lesson_file import BatchPlan, LessonPlan, PupilPlan
from review.lesson import Batch, Consent, Lesson, Pupil, Purpose
from review.library import Library

ID_SPACE = uuid.UUID("0b6ff0ca-6c4a-4a0e-8f0f-6a2f27c9a6a1")
"""Ids of lessons and clips are made in it from what they are, so the same is never there twice."""


def find_or_make_pupil(library: Library, plan: PupilPlan) -> tuple[Pupil, bool]:
    """Return the pupil of that name, renewed by the plan, and whether it is a new one; nothing is stored.

    Raises
    ------
    BadInputError
        When the name is empty, the stature impossible, or the pupil known swings from the other side.
    """
    if plan.stature_m is not None and not 0.8 <= plan.stature_m <= 2.5:
        raise BadInputError(
            f"Stature is in metres, 0.8 to 2.5, such as 1.70; got {plan.stature_m:g}. Nothing was added."
        )
    if not plan.name.strip():
        raise BadInputError("A pupil needs a name. Nothing was added.")
    same = [pupil for pupil in library.find_pupils(plan.name) if pupil.name.casefold() == plan.name.casefold()]
    if same:
        known = same[0]
        if known.handedness is not plan.handedness:
            raise BadInputError(
                f"{known.name} is in the library as {known.handedness.value}-handed, the request says "
                f"{plan.handedness.value}-handed. Correct the request, or use another name for another person."
            )
        return (
            replace(
                known,
                stature_m=plan.stature_m or known.stature_m,
                consent=_latest_word(known.consent, plan.consent),
                is_minor=plan.is_minor or known.is_minor,
                guardian=plan.guardian or known.guardian,
            ),
            False,
        )
    return (
        Pupil(
            id=uuid.uuid4().hex,
            name=plan.name,
            handedness=plan.handedness,
            stature_m=plan.stature_m,
            consent=plan.consent,
            is_minor=plan.is_minor,
            guardian=plan.guardian,
        ),
        True,
    )


def find_or_make_lesson(library: Library, plan: LessonPlan, pupil: Pupil) -> tuple[Lesson, tuple[Batch, ...]]:
    """Return the pupil's lesson of that day, renewed by the plan, and its batches; nothing is stored."""
    known = next((lesson for lesson in library.lessons(pupil.id) if lesson.held_on == plan.held_on), None)
    lesson_id = uuid.uuid5(ID_SPACE, f"{pupil.id} {plan.held_on}").hex
    planned = tuple(_batch(lesson_id, entry, plan) for entry in plan.batches)
    if known is None:
        lesson = Lesson(
            id=lesson_id,
            pupil_id=pupil.id,
            held_on=plan.held_on,
            place=plan.place,
            aim=plan.aim,
            aim_measures=plan.aim_measures,
            repeatability=plan.repeatability,
            practice_plan=plan.practice,
            check_alone=plan.check_alone,
        )
        return lesson, planned or (Batch(f"{lesson_id}-1", 1, club=plan.club, target=plan.target, ball=plan.ball),)
    renewed = replace(
        known,
        place=plan.place or known.place,
        aim=plan.aim or known.aim,
        aim_measures=plan.aim_measures or known.aim_measures,
        repeatability=plan.repeatability or known.repeatability,
        practice_plan=plan.practice or known.practice_plan,
        check_alone=plan.check_alone or known.check_alone,
    )
    return renewed, planned or known.batches


def keep_records(library: Library, pupil: Pupil, is_new_pupil: bool, lesson: Lesson, is_new_lesson: bool) -> None:
    """Store pupil and lesson."""
    if is_new_pupil:
        library.add_pupil(pupil)
    else:
        library.update_pupil(pupil)
    if is_new_lesson:
        library.add_lesson(lesson)
    else:
        library.update_lesson(lesson)


def _batch(lesson_id: str, plan: BatchPlan, lesson: LessonPlan) -> Batch:
    started = None if plan.start is None else datetime.combine(lesson.held_on, plan.start)
    return Batch(
        f"{lesson_id}-{plan.number}",
        plan.number,
        started,
        plan.cue,
        plan.feel,
        plan.club or lesson.club,
        target=plan.target or lesson.target,
        ball=plan.ball or lesson.ball,
    )


def allows_now(pupil: Pupil, purpose: Purpose, held_on: date) -> bool:
    """Whether something may be done now with a lesson: what counts is the consent on the day it is done."""
    return pupil.allows(purpose, max(held_on, date.today()))


def note_missing_consent(pupil: Pupil, held_on: date) -> tuple[str, ...]:
    """Say which consents are missing, or have ended, in one line; none when nothing is."""
    missing = [p.value for p in (Purpose.KEEP, Purpose.MEASURE, Purpose.SHARE) if not allows_now(pupil, p, held_on)]
    if not missing:
        return ()
    consent = pupil.consent
    if consent is not None and not consent.purposes:
        return (f"{consent.given_by} refused consent on {consent.given_on}: nothing is measured or handed out.",)
    who = f"{pupil.name}'s guardian" if pupil.is_minor else pupil.name
    return (
        f"Consent to {', '.join(missing)} is not on record{say_why_not(pupil)}: ask {who}, then add it with "
        "--consent-by and --consent-for.",
    )


def say_why_not(pupil: Pupil) -> str:
    """Say in brackets why a consent that is on record counts no longer, or not for this pupil; '' else."""
    consent = pupil.consent
    if consent is None:
        return ""
    if consent.withdrawn_on is not None:
        return f" (withdrawn on {consent.withdrawn_on})"
    if consent.until is not None and consent.until < date.today():
        return f" (ended on {consent.until})"
    if pupil.is_minor and consent.given_by != pupil.guardian:
        return f" (given by {consent.given_by}, not by the guardian)"
    return ""


def _latest_word(known: Consent | None, said: Consent | None) -> Consent | None:
    """The consent that counts: a lesson file that is added again does not bring back what was withdrawn since."""
    if known is None or said is None:
        return said or known
    return known if said.given_on < (known.withdrawn_on or known.given_on) else said
