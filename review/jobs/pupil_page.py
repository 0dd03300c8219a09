"""What a coach does on a pupil's page: keep who it is, consent and the private note, look at it all, forget."""

import re
import uuid
from dataclasses import dataclass, replace
from pathlib import Path

from review.errors import BadInputError
from review.jobs.pupils import forget, withdraw_consent
from review.lesson import Consent, Handedness, Pupil
from review.library import Forgotten, Library
from review.progress import Progress, silent

_FEET = re.compile(r"""(\d)\s*(?:'|ft|feet|foot)\s*(?:(\d{1,2}(?:\.\d+)?)\s*(?:"|''|in|inch|inches)?)?""")
_FOOT_M, _INCH_M = 0.3048, 0.0254
_LEAST_M, _MOST_M = 0.8, 2.5


@dataclass(frozen=True)
class Details:
    """Who a pupil is; a walk-in has a name and a hand."""

    name: str
    handedness: Handedness
    stature_m: float | None = None
    is_minor: bool = False
    guardian: str = ""


@dataclass(frozen=True)
class ToForget:
    """What forgetting a pupil would remove, and what is beyond its reach."""

    pupil: Pupil
    removal: Forgotten


def read_stature(text: str) -> float | None:
    """Read a standing height as coaches write it: '1.72', '172 cm', "5'8"; None where nothing is written.

    Raises
    ------
    BadInputError
        When it is none, or nobody is so tall.
    """
    said = text.strip().casefold().replace(",", ".")
    if not said:
        return None
    feet = _FEET.fullmatch(said)
    metres = re.fullmatch(r"(\d+(?:\.\d+)?)\s*(m|cm)?", said)
    if feet is not None:
        stature_m = int(feet[1]) * _FOOT_M + float(feet[2] or 0) * _INCH_M
    elif metres is not None:
        number = float(metres[1])
        stature_m = number / 100 if metres[2] == "cm" or (metres[2] is None and number > _MOST_M) else number
    else:
        stature_m = 0.0
    if not _LEAST_M <= stature_m <= _MOST_M:
        raise BadInputError(f"Stature is a height such as 1.72, 172 cm or 5'8, or left empty; got {text.strip()!r}.")
    return round(stature_m, 3)


def keep_details(folder: Path, pupil_id: str | None, details: Details) -> Pupil:
    """Keep a new pupil (``pupil_id`` None), or correct who a known one is; consent and note stay.

    Raises
    ------
    BadInputError
        When the name is missing or another pupil's, or a pupil under age has no guardian.
    """
    name, guardian = " ".join(details.name.split()), " ".join(details.guardian.split())
    if not name:
        raise BadInputError("A pupil needs a name.")
    if details.is_minor and not guardian:
        raise BadInputError("A pupil under age needs the guardian's name: consent and take-home go by the guardian.")
    with Library.open(folder) as library, library.transaction():
        for other in library.pupils():
            if other.name.casefold() == name.casefold() and other.id != pupil_id:
                raise BadInputError(
                    f"{other.name} is in the library already. Another person needs another name, such as {name!r} "
                    "with a second name or a town."
                )
        known = None if pupil_id is None else library.pupil(pupil_id)
        pupil = Pupil(
            id=known.id if known else uuid.uuid4().hex,
            name=name,
            handedness=details.handedness,
            stature_m=details.stature_m,
            is_minor=details.is_minor,
            guardian=guardian or None,
        )
        if known is None:
            library.add_pupil(pupil)
        else:
            pupil = replace(pupil, consent=known.consent, private_note=known.private_note)
            library.update_pupil(pupil)
    return pupil


def say_to_measure_again(before: Pupil, after: Pupil) -> str:
    """Say that body numbers were made with what was corrected since; '' where they were not."""
    changed = []
    if before.handedness is not after.handedness:
        changed.append("hand")
    if before.stature_m != after.stature_m:
        changed.append("stature")
    if not changed:
        return ""
    return f"Measure earlier lessons again: their body numbers were made with the {' and '.join(changed)} as before."


def keep_consent(folder: Path, pupil_id: str, consent: Consent, guardian: str | None = None) -> Pupil:
    """Keep what was agreed to, in the place of what was on record; to nothing = asked, and refused.

    ``guardian`` is of a pupil under age, '' of one who is not; None leaves both as they are.

    Raises
    ------
    BadInputError
        When a pupil under age gave it instead of the guardian; anybody may refuse.
    """
    with Library.open(folder, create=False) as library, library.transaction():
        pupil = library.pupil(pupil_id)
        if guardian is not None:
            pupil = replace(pupil, is_minor=bool(guardian), guardian=guardian or None)
        if consent.purposes and pupil.is_minor and consent.given_by != pupil.guardian:
            raise BadInputError(
                f"{pupil.name} is under age: the consent must come from the guardian, {pupil.guardian or 'not named'}."
            )
        pupil = replace(pupil, consent=consent)
        library.update_pupil(pupil)
    with Library.open(folder, create=False) as library:
        library.drop_voices()
    return pupil


def end_consent(folder: Path, pupil_id: str) -> Pupil:
    """Withdraw a pupil's consent from today on, as :func:`review.jobs.pupils.withdraw_consent`."""
    with Library.open(folder, create=False) as library:
        return withdraw_consent(library, pupil_id)


def keep_private_note(folder: Path, pupil_id: str, note: str) -> Pupil:
    """Keep the coach's private note on a pupil; it is never exported and goes when the pupil is forgotten."""
    with Library.open(folder, create=False) as library, library.transaction():
        pupil = replace(library.pupil(pupil_id), private_note=note.strip())
        library.update_pupil(pupil)
    return pupil


def look_before_forgetting(folder: Path, pupil_id: str) -> ToForget:
    """Count what forgetting would remove."""
    with Library.open(folder, create=False) as library:
        return ToForget(library.pupil(pupil_id), library.look_before_forgetting(pupil_id))


def forget_named(folder: Path, pupil_id: str, typed: str, progress: Progress = silent) -> Forgotten:
    """Remove everything of a pupil whose full name was typed.

    Raises
    ------
    BadInputError
        When another name was typed; nothing is removed then.
    MachineError
        When a file is held by another program; what is left goes when the library is next opened.
    """
    with Library.open(folder, create=False) as library:
        pupil = library.pupil(pupil_id)
        if typed.strip() != pupil.name.strip():
            raise BadInputError(f"The name typed is not {pupil.name!r}; nothing was removed.")
        return forget(library, pupil, progress)
