"""What matching has to ask about a lesson, and the coach's answers."""

from dataclasses import dataclass
from pathlib import Path

from review.errors import BadInputError
from review.jobs.pairing.matching import MatchedLesson
from review.jobs.pairing.rematching import match_known, rematch_lesson
from review.library import Library


@dataclass(frozen=True)
class PairQuestion:
    """Whether a swing's clips and a row of the table belong together; ``rows`` are the numbers it could be instead."""

    swing: int
    clip_name: str
    clip_ids: tuple[str, ...]
    row: int
    row_id: str
    probability: float
    why: str


@dataclass(frozen=True)
class Questions:
    """The questions of a lesson, and the rows of its table: number and id."""

    lesson_id: str
    asked: tuple[PairQuestion, ...]
    rows: dict[int, str]


def find_questions(folder: Path, lesson_id: str) -> Questions:
    """Match a lesson as it is now and say what has to be asked; nothing is stored.

    Raises
    ------
    BadInputError
        When the lesson is no longer there.
    """
    with Library.open(folder, create=False) as library:
        return _gather(library, lesson_id, match_known(library, library.lesson(lesson_id)))


def answer_question(folder: Path, lesson_id: str, question: PairQuestion, row: int | None) -> Questions:
    """Keep which row of the table a swing has (None: none), match again, and say what is left to ask.

    Raises
    ------
    BadInputError
        When the table has no such row.
    """
    with Library.open(folder, create=False) as library:
        lesson = library.lesson(lesson_id)
        rows = {shot.row_number: shot.id for shot in library.shots(lesson_id)}
        if row is not None and row not in rows:
            raise BadInputError(f"There is no row {row}; rows are {min(rows, default=0)} to {max(rows, default=0)}.")
        row_id = None if row is None else question.row_id if row == question.row else rows[row]
        return _gather(library, lesson_id, rematch_lesson(library, lesson, dict.fromkeys(question.clip_ids, row_id)))


def _gather(library: Library, lesson_id: str, matched: MatchedLesson) -> Questions:
    swing_of = {clip.id: swing for swing in matched.swings for clip in swing.clips}
    rows = {shot.row_number: shot.id for shot in library.shots(lesson_id)}
    number = {row_id: row for row, row_id in rows.items()}
    asked = []
    for question in matched.matching.questions:
        swing = swing_of[question.clip_ids[0]]
        asked.append(
            PairQuestion(
                swing.order,
                swing.clips[0].original_name,
                tuple(clip.id for clip in swing.clips),
                number.get(question.row_id, 0),
                question.row_id,
                question.probability,
                question.text,
            )
        )
    return Questions(lesson_id, tuple(asked), rows)
