"""Reads a packed lesson into a library; what is there already is never changed."""

import base64
import binascii
import unicodedata
from collections.abc import Mapping
from dataclasses import dataclass, replace
from enum import Enum, auto
from pathlib import Path
from typing import Any

from review.errors import BadInputError
from review.jobs.archives.landmarks import bring_landmarks
from review.jobs.archives.probing import check_clip, check_voice
from review.jobs.records import note_missing_consent
from review.lesson import Consent, Lesson, Pupil
from review.library import Library, check_space, read_archived
from review.progress import Progress, silent
from review.takehome.archive import Archive, open_archive

Rows = dict[str, list[dict[str, Any]]]


class Outcome(Enum):
    """What became of an archive."""

    ADDED = auto()
    THERE = auto()
    THERE_OTHERWISE = auto()
    WHOSE = auto()


@dataclass(frozen=True)
class Unpacked:
    """What became of the archive; ``pupil`` is the one here, or the one asked about."""

    outcome: Outcome
    pupil: Pupil
    lesson: Lesson
    n_clips: int = 0
    n_landmarks: int = 0
    is_new_pupil: bool = False
    notes: tuple[str, ...] = ()


@dataclass(frozen=True)
class _Decision:
    """Whose the lesson is here: ``pupil`` None when only the coach can say."""

    pupil: Pupil | None
    is_new: bool


def unpack_lesson(
    library: Library, path: Path, into: str = "", name: str = "", progress: Progress = silent
) -> Unpacked:
    """Read a lesson in, all of it or nothing; a pupil who is here already stays as recorded here.

    Parameters
    ----------
    into : the name of the pupil here whose lesson it is; name : a new pupil is made, called so. With neither, the
        pupil with the archive's id is taken, or one is made when nobody here has the name; else it is asked.

    Raises
    ------
    BadInputError
        When the archive is damaged, newer, made to do harm, or part of it is here in another lesson.
    MachineError
        When the disk is full or may not be written.
    """
    if into and name:
        raise BadInputError("Give either the pupil here whose lesson it is, or the name of a new one, not both.")
    with open_archive(path) as archive:
        about = archive.manifest
        raw = {table: _bytes_back(listed) for table, listed in archive.read_rows().items()}
        with read_archived(raw, about.schema, about.lesson_id) as read:
            rows = read.rows_of_lesson(about.lesson_id)
            theirs, lesson = read.pupils()[0], read.lesson(about.lesson_id)
            handedness = theirs.handedness
            clips = read.clips(about.lesson_id)
        _check_files(archive, rows)
        if any(one.id == lesson.id for one in library.lessons()):
            return _find_there(library, archive, rows, lesson)
        decision = _decide(library, theirs, into, name)
        if decision.pupil is None:
            return Unpacked(Outcome.WHOSE, theirs, lesson)
        _check_free(library, rows)
        check_space(library.folder, archive.size_bytes)
        places = _store_files(library, archive, rows, progress)
        with library.transaction():
            # storing may have taken minutes: what was done meanwhile counts
            decision = _decide(library, theirs, into, name)
            if decision.pupil is None:
                return Unpacked(Outcome.WHOSE, theirs, lesson)
            _check_free(library, rows)
            placed = _place(rows, decision.pupil, places)
            if decision.is_new:
                library.add_pupil(decision.pupil)
            library.add_rows({table: listed for table, listed in placed.items() if table != "pupil"}, places.values())
        n_landmarks = bring_landmarks(library, archive, clips, handedness)
        notes = (*_say_consent(theirs, decision), *note_missing_consent(decision.pupil, lesson.held_on))
        return Unpacked(Outcome.ADDED, decision.pupil, lesson, len(rows["clip"]), n_landmarks, decision.is_new, notes)


def _find_there(library: Library, archive: Archive, rows: Rows, lesson: Lesson) -> Unpacked:
    """The lesson is here: say whether as in the archive; landmarks that a killed run did not bring come now."""
    known = library.lesson(lesson.id)
    pupil = library.pupil(known.pupil_id)
    is_same = _bare(library.rows_of_lesson(lesson.id)) == _bare(rows)
    n = bring_landmarks(library, archive, library.clips(lesson.id), pupil.handedness) if is_same else 0
    return Unpacked(Outcome.THERE if is_same else Outcome.THERE_OTHERWISE, pupil, known, n_landmarks=n)


def _bare(rows: Rows) -> Rows:
    """Rows without what differs between two libraries: whose record it is, and endings of files."""
    bare = {table: [dict(row) for row in listed] for table, listed in rows.items() if table != "pupil"}
    for row in bare["lesson"]:
        row.pop("pupil_id")
    for table in ("clip", "voice"):
        for row in bare[table]:
            row["file"] = Path(row["file"]).stem
    return bare


def _bytes_back(listed: Any) -> list[dict[str, Any]]:
    """Rows of JSON with their bytes."""

    def back(value: Any) -> Any:
        return base64.b64decode(value["base64"], validate=True) if isinstance(value, dict) else value

    try:
        return [{str(name): back(value) for name, value in row.items()} for row in listed]
    except (AttributeError, KeyError, TypeError, ValueError, binascii.Error) as error:
        raise BadInputError("The rows in this archive cannot be understood; have it sent again.") from error


def _check_files(archive: Archive, rows: Rows) -> None:
    """Rows and files must be of each other."""
    named = {row["file"] for table in ("clip", "voice") for row in rows[table]}
    there = {*archive.names("clips"), *archive.names("voice")}
    if named != there or any(archive.manifest.files[name][0] != Path(name).stem for name in there):
        raise BadInputError(
            f"{archive.path} is not a whole archive of a lesson: its clips are not those of its rows. Have it sent "
            "again; nothing was changed."
        )


def _check_free(library: Library, rows: Rows) -> None:
    table = library.find_taken(rows)
    if table is not None:
        raise BadInputError(
            f"A {table.replace('_', '-')} of this lesson is in another lesson here already, so it would be there "
            "twice. Nothing was changed."
        )


def _decide(library: Library, theirs: Pupil, into: str, name: str) -> _Decision:
    """Whose lesson it is here."""
    here = library.pupils()
    if into:
        same = [pupil for pupil in here if _plain(pupil.name) == _plain(into)]
        if len(same) != 1:
            known = ", ".join(pupil.name for pupil in here) or "nobody"
            raise BadInputError(f"There is no one pupil named {into!r} here. In the library: {known}.")
        return _Decision(_check_hand(same[0], theirs), is_new=False)
    if name:
        if any(_plain(pupil.name) == _plain(name) for pupil in here):
            raise BadInputError(f"{name} is in the library already; give a new pupil another name, or use --into.")
        is_free = all(pupil.id != theirs.id for pupil in here)
        if not is_free:
            raise BadInputError(f"{theirs.name} is in the library already, so no new pupil is made of the same person.")
        return _Decision(replace(theirs, name=name), is_new=True)
    for pupil in here:
        if pupil.id == theirs.id:
            return _Decision(_check_hand(pupil, theirs), is_new=False)
    if any(_plain(pupil.name) == _plain(theirs.name) for pupil in here):
        return _Decision(None, is_new=False)
    return _Decision(theirs, is_new=True)


def _check_hand(here: Pupil, theirs: Pupil) -> Pupil:
    if here.handedness is not theirs.handedness:
        raise BadInputError(
            f"{here.name} swings {here.handedness.value}-handed here, the archive's pupil {theirs.handedness.value}-"
            "handed. Choose another pupil, or correct the record; nothing was changed."
        )
    return here


def _plain(name: str) -> str:
    return " ".join(unicodedata.normalize("NFKC", name).casefold().split())


def _store_files(library: Library, archive: Archive, rows: Rows, progress: Progress) -> dict[str, str]:
    """Store clips and voices, looked into; return where each lies here, by its name in the archive."""
    places = {}
    done, total = 0, max(1, archive.size_bytes)
    for folder in ("clips", "voice"):
        for name in archive.names(folder):

            def report(n: int, _: int, done: int = done) -> None:
                progress(min(done + n, total), total)

            def write(to: Path, name: str = name, report: Progress = report) -> str:
                suffix = archive.copy(name, to, report)
                if name.startswith("clips/"):
                    check_clip(to, [row for row in rows["clip"] if row["file"] == name])
                else:
                    check_voice(to)
                return suffix

            places[name] = library.store_file(folder, write)
            done += archive.manifest.files[name][1]
    return places


def _place(rows: Rows, pupil: Pupil, places: Mapping[str, str]) -> Rows:
    """The rows as they are here: the pupil's id, and where the files lie."""
    placed = {table: [dict(row) for row in listed] for table, listed in rows.items()}
    for row in placed["lesson"]:
        row["pupil_id"] = pupil.id
    for table in ("clip", "voice"):
        for row in placed[table]:
            row["file"] = places[row["file"]]
    return placed


def _say_consent(theirs: Pupil, decision: _Decision) -> tuple[str, ...]:
    """What the archive says of consent, and that it was given for another copy."""
    said = f"Consent that came with it: {_describe(theirs.consent)}."
    ask = "It was given for the copy it comes from: ask whether it holds for yours too."
    if not decision.is_new and decision.pupil is not None and decision.pupil.consent != theirs.consent:
        here = f"On record here stays: {_describe(decision.pupil.consent)}."
        return (f"{said} {here} {ask}",)
    return (f"{said} {ask}",)


def _describe(consent: Consent | None) -> str:
    if consent is None:
        return "none"
    words = f"{', '.join(sorted(p.value for p in consent.purposes))}, by {consent.given_by} on {consent.given_on}"
    words += "" if consent.until is None else f", until {consent.until}"
    return words + ("" if consent.withdrawn_on is None else f", withdrawn on {consent.withdrawn_on}")
