"""A row in every table of a schema, whatever it is, with words of its owner's own in every column."""

import sqlite3


def list_tables(connection: sqlite3.Connection) -> list[str]:
    """Tables of the schema, each after those it refers to; not the parts of an index of words."""
    found = connection.execute("SELECT name, sql FROM sqlite_master WHERE type = 'table' ORDER BY rowid").fetchall()
    indexes = [name for name, sql in found if sql.startswith("CREATE VIRTUAL")]
    names = [name for name, _ in found if not any(name.startswith(index) for index in indexes)]
    ordered: list[str] = []
    while left := [name for name in names if name not in ordered]:
        ordered += [n for n in left if {row[2] for row in list_references(connection, n)} <= {*ordered, n}]
    return ordered


def list_references(connection: sqlite3.Connection, table: str) -> list[tuple[object, ...]]:
    """What a table refers to: at 2 the other table, 3 own column, 4 its column, 6 what happens when that row goes."""
    return [tuple(row) for row in connection.execute(f"PRAGMA foreign_key_list({table})")]


def fill_tables(connection: sqlite3.Connection, owner: str, leave: frozenset[str] = frozenset()) -> list[str]:
    """Write a row of the owner's into every table but those to ``leave``; return the words in them."""
    rows: dict[str, dict[str, object]] = {}
    words: list[str] = []
    for table in list_tables(connection):
        if table in leave:
            continue
        parents = {
            str(row[3]): rows[str(row[2])].get(str(row[4] or "id")) for row in list_references(connection, table)
        }
        row: dict[str, object] = {}
        for _, name, kind, _, _, key in (tuple(r) for r in connection.execute(f"PRAGMA table_info({table})")):
            word = f"{owner}-{table}-{name}-zq7"
            if name in parents:
                row[name] = parents[name]
            elif kind in ("TEXT", "BLOB"):
                # written anew by a trigger that reads a list
                row[name] = word.encode() if kind == "BLOB" else f'["{word}"]' if name == "practice_plan" else word
                words.append(word)
            elif name == "is_being_forgotten":
                row[name] = 0
            elif not (key and kind == "INTEGER"):
                row[name] = 1
        marks = ", ".join("?" * len(row))
        connection.execute(f"INSERT INTO {table} ({', '.join(row)}) VALUES ({marks})", [*row.values()])
        rows[table] = row
    return words
