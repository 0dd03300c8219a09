"""Forgetting reaches every table there is, by the schema itself, so that a new one cannot be missed."""

import io
import zipfile
from pathlib import Path

from filled_tables import fill_tables, list_references

from review.library import Library
from review.library.searching import REBUILD

# tables none of whose references leads to a pupil, and why nothing of a pupil stays in them
_OF_NOBODY = {
    "derived": "by the clip's content: removed with the file it names",
    "stored": "files just brought in: they go with the run that did not keep them",
    "chore": "work left over, in words of the program",
    "backup": "folders of backups, for all pupils alike",
    "rule": "the coach's rules",
    "seen_and_heard": "two times of a camera, which others' clips are of too; the clip is taken out of it",
    "written": "kept by triggers on the tables it is written in",
    **dict.fromkeys((f"written_words{p}" for p in ("", "_data", "_idx", "_docsize", "_config")), "made anew"),
}


def _hangs_on(library: Library, table: str) -> bool:
    """Whether rows of a table go with the pupil, by the schema."""
    return table == "pupil" or any(
        row[6] == "CASCADE" and row[2] != table and _hangs_on(library, str(row[2]))
        for row in list_references(library._connection, table)
    )


def _fill_every_table(library: Library, owner: str) -> list[str]:
    """A row in every table that may be of a pupil, all its words the owner's own; return the words."""
    connection = library._connection
    connection.execute("INSERT OR IGNORE INTO backup VALUES ('of all', 'stick', '2026-01-01', NULL)")
    leave = frozenset(t for t in _OF_NOBODY if not list_references(connection, t))
    words = fill_tables(connection, owner, leave | {"backed_up"})
    (pupil,) = connection.execute("SELECT id FROM pupil WHERE id LIKE ?", (f"{owner}%",)).fetchone()
    connection.execute("INSERT INTO backed_up VALUES ('of all', ?)", (pupil,))
    connection.execute("UPDATE pupil SET handedness = 'left', consent_by = NULL WHERE id = ?", (pupil,))
    for table, folder in (("clip", "clips"), ("voice", "voice")):
        name = f"{owner}-{table}-file-zq7"
        (library.folder / folder / name).write_text(f"{owner}-{folder}-content-zq7")
        connection.execute(f"UPDATE {table} SET file = ? WHERE file = ?", (f"{folder}/{name}", name))
    words = [word for word in words if not word.endswith(("-handedness-zq7", "-consent_by-zq7"))]
    return [*words, f"{owner}-clips-content-zq7", f"{owner}-voice-content-zq7"]


def _all_bytes(folder: Path) -> bytes:
    content = b""
    for path in sorted(p for p in folder.rglob("*") if p.is_file()):
        read = path.read_bytes()
        content += path.name.encode() + b"\n" + read
        if zipfile.is_zipfile(io.BytesIO(read)):
            with zipfile.ZipFile(io.BytesIO(read)) as packed:
                content += b"".join(packed.read(name).replace(b"\0", b"") for name in packed.namelist())
    return content


def test_every_table_goes_with_the_pupil_or_it_is_said_why_not(tmp_path: Path) -> None:
    with Library.open(tmp_path) as library:
        left = {table for table in library.tables() if not _hangs_on(library, table)}
    assert left == set(_OF_NOBODY), "a new table must lead to the pupil by ON DELETE CASCADE, or be named here with why"


def test_a_row_in_every_table_and_no_word_of_it_stays(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        words = {owner: _fill_every_table(library, owner) for owner in ("anna", "bert")}
        assert {t for t in library.tables() if _hangs_on(library, t)} == {
            table
            for table in library.tables()
            if table not in _OF_NOBODY
            and library._connection.execute(f"SELECT COUNT(*) FROM {table}").fetchone()[0] == 2
        }
        # the search finds all of it as long as it is there
        before = _all_bytes(folder)
        assert [word for word in words["anna"] if word.encode() not in before] == []
        of_bert = _rows_of(library, "bert")
        library.forget_pupil("anna-pupil-id-zq7")
        while_open = _all_bytes(folder)
        assert _rows_of(library, "bert") == of_bert
    for content in (while_open, _all_bytes(folder)):
        assert [word for word in words["anna"] if word.encode() in content] == []
        assert b"anna" not in content
        assert [word for word in words["bert"] if word.encode() not in content] == []


def test_free_pages_log_and_index_are_what_the_words_would_stay_in(tmp_path: Path) -> None:
    """Rows removed by hand leave words behind: that is what forgetting has to do besides."""
    with Library.open(tmp_path) as library:
        words = _fill_every_table(library, "anna")
        library._connection.execute("PRAGMA secure_delete = OFF")
        library._connection.execute("DELETE FROM pupil")
        assert any(word.encode() in _all_bytes(tmp_path) for word in words)
        library._connection.execute(REBUILD)
        library._connection.execute("INSERT INTO chore VALUES ('rewrite without free pages')")
    with Library.open(tmp_path):
        pass
    content = _all_bytes(tmp_path)
    kept = ("-content-", "-file-", "-seen_and_heard-")  # files, and a camera
    assert [word for word in words if word.encode() in content and not any(part in word for part in kept)] == []


def _rows_of(library: Library, owner: str) -> dict[str, list[tuple[object, ...]]]:
    """All rows in which an owner's words stand, by table."""
    found = {}
    for table in library.tables():
        if not table.startswith("written_"):
            rows = [tuple(row) for row in library._connection.execute(f"SELECT * FROM {table}")]
            found[table] = [row for row in rows if owner in repr(row)]
    return found


def test_words_are_gone_from_the_log_though_a_window_is_open(tmp_path: Path) -> None:
    folder = tmp_path / "library"
    with Library.open(folder) as window, Library.open(folder) as library:
        words = _fill_every_table(library, "anna")
        assert window._connection.execute("SELECT COUNT(*) FROM pupil").fetchone()[0] == 1
        library.forget_pupil("anna-pupil-id-zq7")
        content = _all_bytes(folder)
        assert [word for word in words if word.encode() in content] == []
        assert window.pupils() == ()
