"""The open database: statements, transactions, and its complaints in words."""

import sqlite3
import time
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from types import TracebackType
from typing import Any, Self

from review.errors import BadInputError, MachineError
from review.library import rows

WAIT_S = 10.0
"""How long one run waits for another that is writing."""


class Database:
    """What every part of the library stands on."""

    def __init__(self, folder: Path, connection: sqlite3.Connection) -> None:
        self.folder = folder
        self._connection = connection
        self._depth = 0

    def __enter__(self) -> Self:
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self.close()

    def close(self) -> None:
        """Close the database."""
        self._connection.close()

    @contextmanager
    def transaction(self) -> Iterator[None]:
        """Make everything inside one step: all of it happens or nothing.

        An inner one that fails is undone alone; when the outer one goes on, the rest of it counts.
        """
        begin, keep, undo = ("BEGIN IMMEDIATE", "COMMIT", "ROLLBACK")
        if self._depth:
            name = f"inner_{self._depth}"
            begin, keep, undo = f"SAVEPOINT {name}", f"RELEASE {name}", f"ROLLBACK TO {name}"
        self._execute(begin)
        self._depth += 1
        try:
            yield
            self._execute(keep)
        except BaseException:
            # a full disk may have ended the transaction already
            if self._connection.in_transaction:
                self._connection.execute(undo)
                if undo != "ROLLBACK":
                    self._connection.execute(keep)
            raise
        finally:
            self._depth -= 1

    # inside

    def _insert(self, table: str, values: rows.Values, verb: str = "INSERT") -> sqlite3.Cursor:
        names = ", ".join(values)
        marks = ", ".join(f":{name}" for name in values)
        return self._execute(f"{verb} INTO {table} ({names}) VALUES ({marks})", values)

    def _update(self, table: str, values: rows.Values) -> None:
        changes = ", ".join(f"{name} = :{name}" for name in values if name != "id")
        if not self._execute(f"UPDATE {table} SET {changes} WHERE id = :id", values).rowcount:
            raise BadInputError(f"That {table} is no longer in the library.")

    def _execute(self, statement: str, values: Sequence[Any] | rows.Values = ()) -> sqlite3.Cursor:
        with self._explained():
            return self._connection.execute(statement, values)

    @contextmanager
    def _explained(self) -> Iterator[None]:
        """Put what the database says into words for the coach."""
        try:
            yield
        except sqlite3.IntegrityError as error:  # an id twice, or of something that is not there: our own mistake
            raise ValueError(f"the library refuses this: {error}") from error
        except sqlite3.DatabaseError as error:
            raise explain(error, self.folder / "library.db") from error


def use_log(connection: sqlite3.Connection) -> None:
    """Turn on the write-ahead log; while another run does the same the database does not wait by itself."""
    until = time.monotonic() + WAIT_S
    while True:
        try:
            connection.execute("PRAGMA journal_mode = WAL")
            return
        except sqlite3.OperationalError as error:
            if "locked" not in str(error) or time.monotonic() > until:
                raise
            time.sleep(0.02)


def explain(error: sqlite3.Error, database: Path) -> BadInputError | MachineError:
    """Say what went wrong with the database, and what to do."""
    text = str(error)
    if "not a database" in text or "malformed" in text:
        return BadInputError(
            f"{database} is no library of this tool, or it is damaged ({text}). Bring back a backup, or choose another "
            "folder with --library; nothing was changed."
        )
    if "full" in text:
        return MachineError(f"The disk is full; {database} could not be written. Make room, then try again.")
    if "locked" in text or "busy" in text:
        return MachineError("The library is in use by another run of the program; wait until it is done.")
    return MachineError(f"{database} could not be used: {text}. Check that the folder may be written.")
