"""What was written of lessons and pupils, found by its words."""

import unicodedata
from dataclasses import dataclass
from datetime import date

from review.library.database import Database

# one row for each text; the index of words hangs on it, and triggers keep both
TABLES = """
CREATE TABLE written (
    id INTEGER PRIMARY KEY, what TEXT NOT NULL, item TEXT NOT NULL, lesson_id TEXT, pupil_id TEXT, words TEXT NOT NULL,
    UNIQUE (what, item)
);
CREATE VIRTUAL TABLE written_words USING fts5(
    words, content='written', content_rowid='id', tokenize='unicode61 remove_diacritics 2', prefix='2 3'
);
CREATE TRIGGER written_added AFTER INSERT ON written BEGIN
    INSERT INTO written_words (rowid, words) VALUES (new.id, new.words);
END;
CREATE TRIGGER written_gone AFTER DELETE ON written BEGIN
    INSERT INTO written_words (written_words, rowid, words) VALUES ('delete', old.id, old.words);
END;
"""
REBUILD = "INSERT INTO written_words (written_words) VALUES ('rebuild')"
"""Makes the index of words anew from what is written now: words of what has gone are then in it no longer."""

_KEEP = """
CREATE TRIGGER written_{what}_added AFTER INSERT ON {table} BEGIN
    DELETE FROM written WHERE what = '{what}' AND item = {item};
    INSERT INTO written (what, item, lesson_id, pupil_id, words)
        SELECT '{what}', {item}, {lesson}, {pupil}, {words} WHERE {words} <> '';
END;
CREATE TRIGGER written_{what}_changed AFTER UPDATE OF {column} ON {table} WHEN old.{column} IS NOT new.{column} BEGIN
    DELETE FROM written WHERE what = '{what}' AND item = {item};
    INSERT INTO written (what, item, lesson_id, pupil_id, words)
        SELECT '{what}', {item}, {lesson}, {pupil}, {words} WHERE {words} <> '';
END;
CREATE TRIGGER written_{what}_gone AFTER DELETE ON {table} BEGIN
    DELETE FROM written WHERE what = '{what}' AND item = {old_item};
END;
INSERT INTO written (what, item, lesson_id, pupil_id, words)
    SELECT '{what}', {item}, {lesson}, {pupil}, {words} FROM {table} AS new WHERE {words} <> '' ORDER BY new.rowid;
"""
_LESSON_OF_CLIP = "(SELECT lesson_id FROM clip WHERE clip.id = new.clip_id)"
# what, table, column, its row, its lesson, its pupil
_SOURCES = (
    ("aim", "lesson", "aim", "new.id", "new.id", "NULL"),
    ("practice", "lesson", "practice_plan", "new.id", "new.id", "NULL"),
    ("check alone", "lesson", "check_alone", "new.id", "new.id", "NULL"),
    ("cue", "batch", "cue", "new.id", "new.lesson_id", "NULL"),
    ("feel", "batch", "feel", "new.id", "new.lesson_id", "NULL"),
    ("mark", "key_frame", "note", "new.clip_id || ' ' || new.name", _LESSON_OF_CLIP, "NULL"),
    ("drawing", "drawing", "words", "new.clip_id || ' ' || new.id", _LESSON_OF_CLIP, "NULL"),
    ("private note", "pupil", "private_note", "new.id", "NULL", "new.id"),
)
_MOVED = """
CREATE TRIGGER written_clip_moved AFTER UPDATE OF lesson_id ON clip WHEN old.lesson_id <> new.lesson_id BEGIN
    UPDATE written SET lesson_id = new.lesson_id
        WHERE what IN ('mark', 'drawing') AND item >= new.id || ' ' AND item < new.id || '!';
END
"""


def _keep(what: str, table: str, column: str, item: str, lesson: str, pupil: str) -> str:
    listed = f"coalesce((SELECT group_concat(value, '; ') FROM json_each(new.{column})), '')"
    words = listed if column == "practice_plan" else f"trim(new.{column})"
    made = _KEEP.replace("written_{what}", "written_" + what.replace(" ", "_"))
    return made.format(
        what=what,
        table=table,
        column=column,
        item=item,
        old_item=item.replace("new.", "old."),
        lesson=lesson,
        pupil=pupil,
        words=words,
    )


STEP = TABLES + "".join(_keep(*source) for source in _SOURCES) + _MOVED
"""The step of the schema that makes it all and takes in what was written before."""


@dataclass(frozen=True)
class WrittenFound:
    """One text that fits: ``what`` it is (cue, feel, aim, practice, check alone, mark, drawing, private note).

    ``lesson_id`` is '' and ``held_on`` None for a private note, ``batch_number`` 0 where it is of no batch.
    """

    what: str
    words: str
    pupil_id: str
    pupil_name: str
    lesson_id: str
    held_on: date | None
    batch_number: int


class Searching(Database):
    """Search over cues, feels and notes."""

    def find_written(self, text: str, limit: int = 50) -> tuple[WrittenFound, ...]:
        """Find what holds every word of a text, whatever case and accents, ss as ß; the last lesson first.

        Cue and feel of one batch are searched together: a word may stand in either.

        A word fits from its beginning on: 'pock' finds 'pocket'. Nothing in the text is a command of the search. Of
        more than ``limit`` those written last are given.
        """
        wanted = [_fit(word) for word in _words_of(text)]
        if not wanted:
            return ()
        # cue and feel of one batch belong together: each word may stand in either
        hits = "SELECT rowid FROM written_words WHERE written_words MATCH ?"
        of_batch = " AND ".join(
            f"item IN (SELECT item FROM written WHERE what IN ('cue', 'feel') AND id IN ({hits}))" for _ in wanted
        )
        both = f"SELECT id FROM written WHERE what IN ('cue', 'feel') AND id IN ({hits}) AND {of_batch}"
        found = self._execute(
            "SELECT written.what, written.words, written.lesson_id, pupil.id AS of_pupil, pupil.name, lesson.held_on, "
            "coalesce(batch.number, 0) AS number "
            f"FROM (SELECT id FROM written WHERE id IN ({hits}) OR id IN ({both}) ORDER BY id DESC LIMIT ?) AS hit "
            "JOIN written ON written.id = hit.id LEFT JOIN lesson ON lesson.id = written.lesson_id "
            "LEFT JOIN batch ON written.what IN ('cue', 'feel') AND batch.id = written.item "
            "JOIN pupil ON pupil.id = coalesce(written.pupil_id, lesson.pupil_id) "
            "ORDER BY lesson.held_on DESC, written.id DESC",
            (" AND ".join(wanted), " OR ".join(wanted), *wanted, limit),
        )
        return tuple(
            WrittenFound(
                row["what"],
                row["words"],
                row["of_pupil"],
                row["name"],
                row["lesson_id"] or "",
                None if row["held_on"] is None else date.fromisoformat(row["held_on"]),
                row["number"],
            )
            for row in found
        )


def _fit(word: str) -> str:
    """What the index is asked for: the word's beginning, with ss for ß and the other way round."""
    spelt = dict.fromkeys((word, word.replace("ß", "ss"), word.replace("ss", "ß")))
    return "(" + " OR ".join(f'"{one}"*' for one in spelt) + ")"


def _words_of(text: str) -> list[str]:
    """The words as the index has them apart: letters, digits and the accents on them."""
    plain = "".join(c if c.isalnum() or unicodedata.category(c)[0] == "M" else " " for c in text)
    return [word for word in plain.split() if any(map(str.isalnum, word))]
