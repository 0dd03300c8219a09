"""What the coach does with a pupil's record: find, note consent, forget."""

from dataclasses import replace

from review.errors import BadInputError
from review.lesson import Consent, Pupil
from review.library import Forgotten, Library


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
    return renewed


def forget(library: Library, pupil: Pupil) -> Forgotten:
    """Remove everything of a pupil; run again after an interruption it finishes the work."""
    return library.forget_pupil(pupil.id)
