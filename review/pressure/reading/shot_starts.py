"""Recordings of single shots in one record without a clock: how a table or the names of files number them."""

import re
from collections.abc import Iterator, Sequence

from review.errors import BadInputError
from review.tables import Table, cell_text

_LOOKED_AT = 1000
_DIGITS = re.compile(r"(\d+)")
_DAY_OR_TIME = re.compile(r"(?<!\d)(\d{4}|\d{2})[-_.](\d{2})[-_.](\d{2})(?!\d)")


def counts_samples(table: Table, index: int) -> bool:
    """Whether a column has another value with (nearly) every row: then it numbers samples, not shots."""
    texts = [cell_text(row.cells[index]) for row in table.rows[:_LOOKED_AT]]
    return 2 * sum(a != b for a, b in zip(texts[:-1], texts[1:], strict=True)) >= max(1, len(texts) - 1)


def is_empty(table: Table, index: int) -> bool:
    """Whether a column has no cell with anything in it."""
    return not any(cell_text(row.cells[index]).strip() for row in table.rows)


class ShotColumn:
    """Reads the column of the shot of a table that may come in pieces.

    An empty cell goes on with the shot before; those before the first name are of that shot.
    """

    def __init__(self) -> None:
        self._last = ""

    def find_begins(self, table: Table, index: int) -> Iterator[tuple[int, str]]:
        """Rows at which another shot is named first, and what it is called."""
        prefix = "row " if table.header[index].strip().casefold().startswith(("row", "zeile")) else ""
        for i, row in enumerate(table.rows):
            text = cell_text(row.cells[index]).strip()
            if text and text != self._last:
                self._last = text
                yield i, prefix + text


def read_number(text: str) -> int | None:
    """The number of a shot in the words of a cell: 7, 7.0, 'Swing 07'; None where there is none, or more than one."""
    try:
        value = float(text)
        return int(value) if value.is_integer() else None
    except ValueError:
        found = _DIGITS.findall(text)
        return int(found[0]) if len(found) == 1 else None


def number_files(names: Sequence[str], folder: str) -> list[tuple[int | None, int]]:
    """Number the files of a folder, one for each shot, by the number in their names in which they differ.

    Parameters
    ----------
    names : without their endings.

    Returns
    -------
    The number of each, None where names have none, and its place in ``names``; in the order of the shots.

    Raises
    ------
    BadInputError
        The names differ in several numbers, or in words beside them, so that they do not tell the order.
    """
    parts = [_DIGITS.split(_DAY_OR_TIME.sub(r"\1\2\3", name)) for name in names]
    numbers = [[int(text) for text in part[1::2]] for part in parts]
    if len(names) == 1 or not any(numbers):
        return [(None, i) for i in sorted(range(len(names)), key=lambda i: names[i].casefold())]
    order = sorted(range(len(names)), key=lambda i: numbers[i])
    if len({tuple(part[::2]) for part in parts}) == 1:
        varying = [k for k in range(len(numbers[0])) if len({own[k] for own in numbers}) > 1]
        told = [numbers[i][varying[-1]] for i in order] if varying else []
        if told and (len(varying) == 1 or told == sorted(set(told))):
            return list(zip(told, order, strict=True))
    elif all(own and part[-1] == parts[0][-1] for own, part in zip(numbers, parts, strict=True)):
        # the words differ, as those of clubs do: the number behind them counts where it counts each file once
        last = [own[-1] for own in numbers]
        if len(set(last)) == len(last):
            return sorted(zip(last, range(len(last)), strict=True))
    raise BadInputError(
        f"{folder}: expected file names with one number that counts the shots, such as 'shot 7', found {names[0]!r} "
        f"and {names[1]!r}; name them so, or export them with the time of day"
    )
