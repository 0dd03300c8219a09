"""What is said before a take-home is written: for whom, what is in it, where it goes."""

from datetime import date
from pathlib import Path

from review.app.language import say_day, tr
from review.lesson import Lesson, Pupil, Purpose
from review.lettering import capitalise


def say_for_whom(pupil: Pupil, on: date) -> str:
    """For whom it is, and whether that may be; a minor's goes to the guardian, without name, the face covered."""
    if not pupil.allows(Purpose.SHARE, on):
        return say_why_not(pupil, on)
    if pupil.is_minor:
        return tr(
            "For the guardian, {name}. Without the pupil's name; the face is covered, only the player is shown.",
            name=pupil.guardian or tr("not named yet"),
        )
    return tr("For {name}.", name=pupil.name)


def say_why_not(pupil: Pupil, on: date) -> str:
    """Why it may not be handed out: what was said of it, by whom and when; asked for again only where nobody said."""
    consent = pupil.consent
    who = tr("the guardian") if pupil.is_minor else pupil.name
    if consent is None or (pupil.is_minor and consent.purposes and consent.given_by != pupil.guardian):
        return tr("Consent to hand it out is not on record: ask {who}, then note it on the pupil's page.", who=who)
    if consent.until is not None and consent.until < on and consent.withdrawn_on is None:
        return tr(
            "Consent ended on {day}: ask {who}, then note it on the pupil's page.", day=say_day(consent.until), who=who
        )
    if not consent.purposes:
        said = tr("{name} was asked on {day} and refused.", name=consent.given_by, day=say_day(consent.given_on))
    elif consent.withdrawn_on is not None:
        said = tr(
            "Consent of {name} is withdrawn since {day}.", name=consent.given_by, day=say_day(consent.withdrawn_on)
        )
    else:
        said = tr(
            "{name} agreed on {day}, but not to a take-home.", name=consent.given_by, day=say_day(consent.given_on)
        )
    return (
        said
        + " "
        + tr(
            "Nothing is handed out. You may still look at the lesson here together. Another answer is noted on the "
            "pupil's page (C), when it is given."
        )
    )


def say_contents() -> str:
    """What will be in it."""
    clips = tr("clips side by side, locked at impact; ")
    return capitalise(
        clips + tr("a page for the phone, a sheet for the bag, the numbers as a table. No private notes.")
    )


def propose_folder(documents: Path, pupil: Pupil, lesson: Lesson) -> Path:
    """A new folder among the coach's documents; a minor's bears no name."""
    name = "" if pupil.is_minor else f" {''.join(c for c in pupil.name if c.isalnum() or c in ' -').strip()}"
    return documents / f"take-home{name} {lesson.held_on.isoformat()}"


def say_title(pupil: Pupil, lesson: Lesson) -> str:
    """Whose and of which day."""
    return tr("Take-home · {name} · {day}", name=pupil.name, day=say_day(lesson.held_on))
