"""Removes everything of a pupil, so that a run stopped in the middle can be finished by the next one.

Three steps, each of which may be repeated: the pupil is marked; files and rows go in one transaction, which leaves a
chore behind; the chore rewrites the database without its free pages and empties the log beside it.
"""

import os
import sqlite3
from dataclasses import dataclass
from pathlib import Path

from review.errors import MachineError
from review.library import files, searching
from review.progress import Progress, silent

_CHORE = "rewrite without free pages"

# what no other pupil has: of one file several may have their parts
_OWN = """
SELECT DISTINCT {what} FROM {table} AS own JOIN lesson ON lesson.id = own.lesson_id WHERE pupil_id = :pupil
AND {what} NOT IN (
    SELECT {what} FROM {table} AS o JOIN lesson AS l ON l.id = o.lesson_id WHERE l.pupil_id <> :pupil
)
"""


@dataclass(frozen=True)
class Forgotten:
    """What a pupil's removal took away, or would, and which copies are beyond its reach.

    ``n_clips`` are gone from the disk; ``n_shared`` stay, since another pupil's lesson has the same files.
    """

    pupil_id: str
    n_lessons: int
    n_clips: int
    out_of_reach: tuple[str, ...]
    n_shared: int = 0


def mark(connection: sqlite3.Connection, pupil_id: str) -> None:
    """Write down that a pupil is to be forgotten; from here on the next run finishes what this one leaves."""
    connection.execute("UPDATE pupil SET is_being_forgotten = 1 WHERE id = ?", (pupil_id,))


def finish(connection: sqlite3.Connection, folder: Path, progress: Progress = silent) -> tuple[Forgotten, ...]:
    """Remove every marked pupil and do the chores that are left; ``progress`` counts the files of each pupil.

    Raises
    ------
    MachineError
        When a file is held by another program, or another run keeps the library busy; the mark stays.
    """
    marked = [row["id"] for row in connection.execute("SELECT id FROM pupil WHERE is_being_forgotten = 1")]
    forgotten = tuple(_remove(connection, folder, pupil_id, progress) for pupil_id in marked)
    if connection.execute("SELECT 1 FROM chore WHERE name = ?", (_CHORE,)).fetchone():
        _rewrite(connection)
    return forgotten


def drop_strays(connection: sqlite3.Connection, folder: Path) -> None:
    """Remove clips and voices that a stopped run stored but never added to a lesson."""
    if connection.execute("SELECT 1 FROM stored").fetchone() is None:
        return
    connection.execute("BEGIN IMMEDIATE")
    try:
        for row in connection.execute("SELECT * FROM stored").fetchall():
            if files.is_alive(row["process"], row["stored_s"]):
                continue
            named = (
                "SELECT file FROM clip WHERE file = :file AND let_go_on IS NULL "
                "UNION SELECT file FROM voice WHERE file = :file"
            )
            if connection.execute(named, {"file": row["file"]}).fetchone() is None:
                erase_let_go(connection, folder, row["file"])
            connection.execute("DELETE FROM stored WHERE file = ?", (row["file"],))
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise


def erase_let_go(connection: sqlite3.Connection, folder: Path, file: str) -> None:
    """Remove a stored file, and the copies for looking at that were made from clips in it; their rows stay."""
    copies = connection.execute(
        "SELECT derived.file FROM derived JOIN clip ON clip.content = derived.clip_content "
        "WHERE clip.file = ? AND derived.file LIKE 'derived/review%'",
        (file,),
    ).fetchall()
    erase(folder, file)
    for row in copies:
        erase(folder, row["file"])
        connection.execute("DELETE FROM derived WHERE file = ?", (row["file"],))


def handouts(connection: sqlite3.Connection, pupil_id: str) -> tuple[str, ...]:
    """What was handed over of a pupil, in words."""
    found = connection.execute(
        "SELECT handout.* FROM handout JOIN lesson ON lesson.id = handout.lesson_id WHERE pupil_id = ? "
        "ORDER BY handed_at",
        (pupil_id,),
    )
    return tuple(f"{row['what']}, to {row['to_whom']} on {row['handed_at'][:10]}" for row in found)


def out_of_reach(connection: sqlite3.Connection, pupil_id: str) -> tuple[str, ...]:
    """What of a pupil lies elsewhere, in words: what was handed over, and backups."""
    found = connection.execute(
        "SELECT backup.* FROM backup JOIN backed_up ON backup_id = backup.id WHERE pupil_id = ? ORDER BY begun_at",
        (pupil_id,),
    )
    backups = tuple(
        f"the backup of {row['begun_at'][:10]} in {row['folder']}: back up there once more, then the pupil is gone "
        "from it too; or delete it"
        for row in found
    )
    return (*handouts(connection, pupil_id), *backups)


def look_ahead(connection: sqlite3.Connection, pupil_id: str) -> Forgotten:
    """What a pupil's removal would take away; clips that were let go are gone already."""
    clips = (
        "SELECT COUNT(*) FROM clip JOIN lesson ON lesson.id = clip.lesson_id "
        "WHERE pupil_id = :pupil AND let_go_on IS NULL"
    )
    n_all = _count(connection, clips, pupil_id)
    n_own = _count(connection, f"{clips} AND file IN ({_OWN.format(what='file', table='clip')})", pupil_id)
    n_lessons = _count(connection, "SELECT COUNT(*) FROM lesson WHERE pupil_id = :pupil", pupil_id)
    return Forgotten(pupil_id, n_lessons, n_own, out_of_reach(connection, pupil_id), n_all - n_own)


def _remove(connection: sqlite3.Connection, folder: Path, pupil_id: str, progress: Progress) -> Forgotten:
    connection.execute("BEGIN IMMEDIATE")
    try:
        forgotten = look_ahead(connection, pupil_id)
        arriving = {
            row["file"]
            for row in connection.execute("SELECT * FROM stored")
            if row["process"] != os.getpid() and files.is_alive(row["process"], row["stored_s"])
        }
        of_pupil = {"pupil": pupil_id}
        own_files = connection.execute(_OWN.format(what="file", table="clip"), of_pupil).fetchall()
        own_files += connection.execute(_OWN.format(what="file", table="voice"), of_pupil).fetchall()
        own_contents = connection.execute(_OWN.format(what="content", table="clip"), of_pupil).fetchall()
        # files first: as long as their rows stand, a stopped run still finds them
        for (content,) in own_contents:
            for row in connection.execute("SELECT file FROM derived WHERE clip_content = ?", (content,)):
                erase(folder, row["file"])
        for n, (file,) in enumerate(own_files, start=1):
            if file not in arriving:
                erase(folder, file)
            progress(n, len(own_files) + 1)
        for (content,) in own_contents:
            connection.execute("DELETE FROM derived WHERE clip_content = ?", (content,))
        connection.execute("DELETE FROM pupil WHERE id = ?", (pupil_id,))
        # what a camera is called may tell of the pupil whose it was
        connection.execute(
            "DELETE FROM seen_and_heard WHERE clip_id IS NULL AND camera NOT IN (SELECT camera FROM clip)"
        )
        connection.execute(searching.REBUILD)
        _drop_unlisted(connection, folder)
        connection.execute("INSERT OR IGNORE INTO chore (name) VALUES (?)", (_CHORE,))
        connection.execute("COMMIT")
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    return forgotten


def _drop_unlisted(connection: sqlite3.Connection, folder: Path) -> None:
    """Remove derived files without a row or without a clip; whose they are nobody can tell, and all can be remade."""
    connection.execute("DELETE FROM derived WHERE clip_content NOT IN (SELECT content FROM clip)")
    listed = {row["file"] for row in connection.execute("SELECT file FROM derived")}
    for path in (folder / "derived").rglob("*"):
        name = path.relative_to(folder).as_posix()
        if path.is_file() and path.suffix != files.PART and name not in listed:
            erase(folder, name)


def _rewrite(connection: sqlite3.Connection) -> None:
    connection.execute("VACUUM")
    # the log still holds the old pages until it is cut to nothing, which any reader of them can prevent
    is_busy = connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()[0]
    if is_busy:
        raise MachineError(
            "The pupil's data are removed, but traces stay in the library's log while another run of the program reads "
            "it. Close the other run, then open the library once more: the rest is done then."
        )
    connection.execute("DELETE FROM chore WHERE name = ?", (_CHORE,))


def erase(folder: Path, name: str) -> None:
    """Remove a file of the library.

    Raises
    ------
    MachineError
        When another program holds it.
    """
    path = folder / name
    # a row must never lead outside the library: the coach's originals lie there
    if not name or not path.resolve().is_relative_to(folder.resolve()) or path.resolve() == folder.resolve():
        return
    try:
        path.unlink(missing_ok=True)
    except OSError as error:
        raise MachineError(
            f"{path} could not be removed ({error.strerror}). Close the program that shows it, then try again; what is "
            "left will be removed then."
        ) from error


def _count(connection: sqlite3.Connection, query: str, pupil_id: str) -> int:
    return int(connection.execute(query, {"pupil": pupil_id}).fetchone()[0])
