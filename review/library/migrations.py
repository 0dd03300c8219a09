"""A database brought to the newest schema, or refused."""

import sqlite3
from collections.abc import Iterator

from review.errors import BadInputError
from review.library.schema_steps import STEPS


def check(connection: sqlite3.Connection) -> None:
    """Refuse a database that is not of this program, or of a newer version of it, before anything is changed.

    Raises
    ------
    BadInputError
        When it is either.
    """
    version = _version(connection)
    if version > len(STEPS):
        raise BadInputError(
            f"This library was written by a newer version of the program (schema {version}, known here: {len(STEPS)}). "
            "Update the program; the library was not touched."
        )
    # one look, so that another run that is just making the library is seen before or after its first step
    tables, version = connection.execute(
        "SELECT (SELECT group_concat(name, ', ') FROM sqlite_master WHERE type = 'table'), "
        "(SELECT user_version FROM pragma_user_version)"
    ).fetchone()
    names = [] if tables is None else tables.split(", ")
    if (version == 0 and names) or (version > 0 and "pupil" not in names):
        raise BadInputError(
            f"This library.db is the database of another program (its tables: {', '.join(names[:5]) or 'none'}). "
            "Choose another folder with --library; nothing was changed."
        )


def migrate(connection: sqlite3.Connection) -> None:
    """Bring the schema to the newest version, each step in one transaction."""
    version = _version(connection)
    while version < len(STEPS):
        connection.execute("BEGIN IMMEDIATE")
        try:
            # another process may have done the step while this one waited
            version = _version(connection)
            if version < len(STEPS):
                for statement in statements_of(STEPS[version]):
                    connection.execute(statement)
                version += 1
                connection.execute(f"PRAGMA user_version = {version}")
            connection.execute("COMMIT")
        except BaseException:
            connection.execute("ROLLBACK")
            raise


def statements_of(step: str) -> Iterator[str]:
    """The statements of a step, one by one; a trigger holds semicolons of its own."""
    statement = ""
    for part in step.split(";"):
        statement += f"{part};"
        if sqlite3.complete_statement(statement):
            if statement.strip("; \n"):
                yield statement
            statement = ""


def _version(connection: sqlite3.Connection) -> int:
    return int(connection.execute("PRAGMA user_version").fetchone()[0])
