"""Rows from elsewhere, read into a database in memory: brought to today's schema and checked before any use."""

import io
import math
import sqlite3
import zipfile
import zlib
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from pathlib import Path, PurePosixPath
from typing import Any

from review.errors import BadInputError
from review.library.library import Library
from review.library.migrations import migrate, statements_of
from review.library.schema_steps import STEPS
from review.library.travelling import TRAVELS

_MOST_TRACE_BYTES = 100_000_000
_SHA256_LETTERS = 64
_UNUSABLE = (
    *(ValueError, KeyError, TypeError, OverflowError, AttributeError, RecursionError, MemoryError, EOFError, OSError),
    *(sqlite3.Error, zipfile.BadZipFile, zlib.error),
)


@contextmanager
def read_archived(rows: Mapping[str, Any], schema: int, lesson_id: str) -> Iterator[Library]:
    """Give a library in memory that holds the rows of one lesson, which were written with tables of that version.

    What today's tables ask of rows, and the plain types of their content, is checked.

    Raises
    ------
    BadInputError
        When the tables are newer than those known here, or the rows are not those of a lesson.
    """
    if not 1 <= schema <= len(STEPS):
        raise BadInputError(
            f"This lesson was written by a newer version of the program (schema {schema}, known here: {len(STEPS)}). "
            "Update the program; nothing was changed."
        )
    connection = sqlite3.connect(":memory:", isolation_level=None)
    try:
        connection.row_factory = sqlite3.Row
        try:
            library = _fill(connection, rows, schema)
            _read_all(library, lesson_id)
        except _UNUSABLE as error:
            raise BadInputError(
                f"The lesson in this archive cannot be understood ({type(error).__name__}: {str(error)[:200]}). Have "
                "it sent again; nothing was changed."
            ) from error
        yield library
    finally:
        connection.close()


def _fill(connection: sqlite3.Connection, rows: Mapping[str, Any], schema: int) -> Library:
    connection.execute("PRAGMA foreign_keys = ON")
    for step in STEPS[:schema]:
        for statement in statements_of(step):
            connection.execute(statement)
    connection.execute(f"PRAGMA user_version = {schema}")
    library = Library(Path("none"), connection)
    if strange := set(rows) - (TRAVELS & set(library.tables())):
        raise ValueError(f"there is no table {min(strange)!r} that travels")
    for table, listed in rows.items():
        columns = {row["name"]: row for row in connection.execute(f"PRAGMA table_info({table})")}
        for row in listed:
            for name, value in row.items():
                _check_value(table, name, value, columns[name])
    library.add_rows(rows)
    migrate(connection)
    return library


def _check_value(table: str, name: str, value: Any, column: sqlite3.Row) -> None:
    """A value must be of its column's kind: the database itself takes anything."""
    kinds: dict[str, tuple[type, ...]] = {"TEXT": (str,), "REAL": (float, int), "INTEGER": (int,), "BLOB": (bytes,)}
    if value is None:
        is_right = not column["notnull"]
    else:
        is_right = isinstance(value, kinds[column["type"]]) and not (isinstance(value, float) and math.isinf(value))
    if not is_right:
        raise ValueError(f"{table}.{name} is {type(value).__name__}")
    if isinstance(value, bytes):
        with zipfile.ZipFile(io.BytesIO(value)) as packed:
            if sum(part.file_size for part in packed.infolist()) > _MOST_TRACE_BYTES:
                raise ValueError(f"{table}.{name} unpacks to far too much")


def _read_all(library: Library, lesson_id: str) -> None:
    """Read everything as the tool does; the plain types complain about what cannot be."""
    (pupil,), (lesson,) = library.pupils(), library.lessons()
    if (lesson.id, lesson.pupil_id) != (lesson_id, pupil.id):
        raise ValueError("pupil and lesson are not those of the manifest")
    library.swings(lesson_id)
    library.shots(lesson_id)
    library.traces(lesson_id)
    library.measures(lesson_id)
    library.said(lesson_id)
    library.voices(lesson_id)
    for clip in library.clips(lesson_id):
        library.key_frames(clip.id)
        library.drawings(clip.id)
        if len(clip.sha256) != _SHA256_LETTERS or PurePosixPath(clip.file).stem != clip.sha256:
            raise ValueError("a clip's file is not named by its content")
    kept = {row["id"]: row["content"] for row in library.rows_of_lesson(lesson_id)["clip"]}
    if kept != {clip.id: clip.content for clip in library.clips(lesson_id)}:
        raise ValueError("a clip's content is not what its file says")
