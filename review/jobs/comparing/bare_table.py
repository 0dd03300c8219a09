"""Two stretches of a device's table against each other, without a library."""

from collections.abc import Collection, Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from pathlib import Path

from review.compare import Comparison, MeasureKey, Window, compare_batches
from review.errors import BadInputError
from review.jobs.comparing.background import Background, find_background, mark_doubted
from review.jobs.comparing.pictures import Pictured
from review.lesson import AimMeasure, Batch, Handedness, Lesson, Swing
from review.shots import ColumnMapping, read_shot_table
from review.shots.table import find_repeated, say_repeated

_MOST_ROWS = 1_000_000
_FIRST, _LAST = Batch("first", 1), Batch("last", 2)


@dataclass(frozen=True)
class TableComparison:
    """Two stretches of a table side by side.

    ``notes`` say how the table was read, ``questions`` what of it the coach has to settle.
    """

    path: Path
    first_rows: tuple[int, ...]
    last_rows: tuple[int, ...]
    first_swings: tuple[Swing, ...]
    last_swings: tuple[Swing, ...]
    handedness: Handedness
    comparisons: tuple[Comparison, ...]
    background: Background
    pictured: Pictured
    notes: tuple[str, ...]
    questions: tuple[str, ...] = ()


def compare_table(
    path: Path,
    first: str,
    last: str,
    *,
    mapping: ColumnMapping | None = None,
    handedness: Handedness = Handedness.RIGHT,
    aim: Sequence[AimMeasure] = (),
    repeatability: Mapping[str, float] | None = None,
    windows: Mapping[MeasureKey, Window] | None = None,
    accept_different: bool = False,
) -> TableComparison:
    """Compare rows of a table: 'first' and 'last' as '1-6' or '1-6,9', counted from 1 over the shots.

    Parameters
    ----------
    aim : measures to be judged; the others are described only.
    repeatability : typical error (one standard deviation) of a measure, in its unit; before that of the mapping.
    windows, accept_different : as in :func:`review.compare.compare_batches`.

    Raises
    ------
    BadInputError
        The table cannot be read, a row is not there or stands in both, or a stretch holds no row.
    """
    # times of day place the rows in order; the day itself says nothing here
    table = read_shot_table(path, mapping, date.today())
    by_number = {shot.row_number: shot for shot in table.shots}
    first_rows, last_rows = (
        _rows(text, option, by_number, path) for text, option in ((first, "first"), (last, "last"))
    )
    both = sorted(set(first_rows) & set(last_rows))
    if both:
        raise BadInputError(
            f"{_name_rows(both)} in the first and in the last; a shot counts on one side only. Give other rows."
        )
    lesson = Lesson(
        "table",
        "",
        next((shot.struck_at.date() for shot in table.shots if shot.struck_at is not None), date.today()),
        aim_measures=tuple(aim),
        repeatability=tuple({**table.mapping.repeatability, **(repeatability or {})}.items()),
        batches=(_FIRST, _LAST),
    )
    sides = [
        tuple(Swing(shot.id, row, shot=shot, batch_id=batch.id) for row in rows for shot in (by_number[row],))
        for rows, batch in ((first_rows, _FIRST), (last_rows, _LAST))
    ]
    compared = compare_batches(
        sides[0], sides[1], {}, lesson, handedness, windows=windows, accept_different=accept_different, counted_as="row"
    )
    background = find_background(sides[0], sides[1], (*sides[0], *sides[1]), {}, lesson, handedness, "row")
    compared = mark_doubted(compared, background, (sides[0], sides[1]))
    timed = find_repeated([shot for shot in table.shots if shot.struck_at is not None])
    repeated = (say_repeated(timed),) if timed else ()
    batches = ((_FIRST, sides[0]), (_LAST, sides[1]))
    pictured = Pictured(
        batches, _FIRST.id, _LAST.id, {}, compared, handedness, path.name, windows or {}, "row of the table"
    )
    return TableComparison(
        path,
        first_rows,
        last_rows,
        sides[0],
        sides[1],
        handedness,
        compared,
        background,
        pictured,
        (*table.notes, *repeated),
        table.questions,
    )


def parse_rows(text: str) -> tuple[int, ...]:
    """Read rows such as '1-6' or '1-6,9' in order, each once.

    Raises
    ------
    BadInputError
        When it is something else.
    """
    rows: dict[int, None] = {}
    for part in text.split(","):
        begin, dash, end = (piece.strip() for piece in part.partition("-"))
        end = end if dash else begin
        if not (begin.isascii() and begin.isdigit() and end.isascii() and end.isdigit()) or len(begin + end) > 14:
            raise BadInputError(f"expected rows such as 1-6 or 1-6,9, found {text!r}")
        if not 1 <= int(begin) <= int(end):
            raise BadInputError(f"rows count from 1 and upward, found {part.strip()!r}; write 1-6")
        if int(end) - int(begin) >= _MOST_ROWS:
            raise BadInputError(f"expected at most {_MOST_ROWS} rows, found {part.strip()!r}")
        rows.update(dict.fromkeys(range(int(begin), int(end) + 1)))
    return tuple(rows)


def _rows(text: str, option: str, there: Collection[int], path: Path) -> tuple[int, ...]:
    try:
        rows = parse_rows(text)
    except BadInputError as error:
        raise BadInputError(f"--{option}: {error}.") from error
    missing = sorted(set(rows) - set(there))
    if missing:
        raise BadInputError(
            f"--{option}: {_name_rows(missing)} not in {path.name}, which holds {len(there)} "
            f"shot{'s' if len(there) != 1 else ''} (counted from 1, summary rows left out). Give rows that are there."
        )
    return rows


def _name_rows(rows: Sequence[int]) -> str:
    shown = ", ".join(map(str, rows[:6])) + (" and more" if len(rows) > 6 else "")
    return f"row {shown} is" if len(rows) == 1 else f"rows {shown} are"
