"""What the coach does with a pupil's record: find, note consent, forget."""

from contextlib import suppress
from dataclasses import replace
from datetime import date

from review.errors import BadInputError, Cancelled
from review.jobs.lesson_plan import PupilPlan
from review.jobs.records import find_or_make_pupil
from review.lesson import Consent, Handedness, Pupil
from review.library import Forgotten, Library
from review.progress import Progress, silent


def find_one_pupil(library: Library, name: str) -> Pupil:
    """Find the pupil meant by a name or a part of it.

    Raises
    ------
    BadInputError
        When none or several fit.
    """
    found = library.find_pupils(name)
    exact = [pupil for pupil in found if pupil.name == name]
    if len(exact) == 1:
        return exact[0]
    if not found:
        known = ", ".join(pupil.name for pupil in library.pupils()) or "nobody"
        raise BadInputError(f"There is no pupil named {name!r}. In the library: {known}.")
    if len(found) > 1:
        raise BadInputError(f"{name!r} fits {', '.join(pupil.name for pupil in found)}; give the full name.")
    return found[0]


def record_consent(
    library: Library, name: str, consent: Consent, guardian: str | None = None, is_minor: bool = False
) -> Pupil:
    """Replace the consent on record of a pupil (and the guardian, where one is named)."""
    pupil = find_one_pupil(library, name)
    renewed = replace(pupil, consent=consent, guardian=guardian or pupil.guardian, is_minor=is_minor or pupil.is_minor)
    library.update_pupil(renewed)
    library.drop_voices()
    return renewed


def record_guardian(library: Library, name: str, guardian: str, handedness: Handedness | None = None) -> Pupil:
    """Note that a pupil is under age, and the guardian; a new one is written in where the hand is said.

    Raises
    ------
    BadInputError
        When the guardian is not named, or there is no such pupil and no hand.
    """
    if not guardian.strip():
        raise BadInputError("A pupil under age needs --guardian NAME.")
    if handedness is None:
        try:
            known = find_one_pupil(library, name)
        except BadInputError as error:
            raise BadInputError(f"{error} To write in a new pupil add --handed right or --handed left.") from None
        renewed = replace(known, is_minor=True, guardian=guardian.strip())
        library.update_pupil(renewed)
        return renewed
    plan = PupilPlan(name.strip(), handedness, is_minor=True, guardian=guardian.strip())
    pupil, is_new = find_or_make_pupil(library, plan)
    (library.add_pupil if is_new else library.update_pupil)(pupil)
    return pupil


def withdraw_consent(library: Library, pupil_id: str) -> Pupil:
    """Note that the consent on record is withdrawn from today on; the record itself stays.

    Raises
    ------
    BadInputError
        When there is none.
    """
    with library.transaction():
        pupil = library.pupil(pupil_id)
        if pupil.consent is None:
            raise BadInputError(f"{pupil.name} has no consent on record; there is nothing to withdraw.")
        # one given by a clock ahead of ours is withdrawn all the same
        on = max(date.today(), pupil.consent.given_on)
        changed = replace(pupil, consent=replace(pupil.consent, withdrawn_on=pupil.consent.withdrawn_on or on))
        library.update_pupil(changed)
    library.drop_voices()
    return changed


def forget(library: Library, pupil: Pupil, progress: Progress = silent) -> Forgotten:
    """Remove everything of a pupil; once begun it is not stopped, and finished by the next run after a kill."""

    def report(done: int, total: int) -> None:
        with suppress(Cancelled):  # half forgotten is the one thing it must not be
            progress(done, total)

    return library.forget_pupil(pupil.id, report)
