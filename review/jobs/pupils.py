"""What the coach does with a pupil's record: find, note consent, forget."""

from contextlib import suppress
from dataclasses import replace
from datetime import date

from review.errors import BadInputError, Cancelled
from review.lesson import Consent, Pupil
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


def record_consent(library: Library, name: str, consent: Consent, guardian: str | None = None) -> Pupil:
    """Replace the consent on record of a pupil (and the guardian, where one is named)."""
    pupil = find_one_pupil(library, name)
    renewed = replace(pupil, consent=consent, guardian=guardian or pupil.guardian)
    library.update_pupil(renewed)
    library.drop_voices()
    return renewed


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
