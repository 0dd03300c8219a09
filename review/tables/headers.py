"""Where the header of a table stands: one line, or a line of groups above it joined with it."""

import re
from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass

from review.errors import BadInputError
from review.tables.cells import Cell, cell_text
from review.tables.numbers import is_absent, parse_number, shorten
from review.tables.units import find_unit, is_time_format

CountKnown = Callable[[Sequence[str]], int]
RawRows = Sequence[tuple[int, list[Cell]]]

PROBE_LINES = 60
_NUMBERLIKE = re.compile(r"[+\-−]?[\d.,:/\-' ]*\d[\d.,:/\-' ]*")


@dataclass(frozen=True)
class Header:
    """A header's texts, the line it stands in, and the index of the first row beneath it."""

    texts: list[str]
    line: int
    below: int
    has_groups: bool = False


def tidy_header(text: str) -> str:
    """A header in the form in which two are compared: spaces in one, capitals small."""
    return " ".join(text.replace("\ufeff", "").split()).casefold()


def find_header(
    raw: RawRows, name: str, count_known: CountKnown, known_terms: str, header_row: int | None, is_guessing: bool
) -> Header:
    """Find the header: the line with most known names, with the line of groups above it where that knows more.

    Parameters
    ----------
    raw
        Filled rows with their lines.
    header_row
        The line that the coach names; None to find it.
    is_guessing
        Take the last line of words above numbers when no name is known.

    Raises
    ------
    BadInputError
        There is no header, or nothing in it is known.
    """
    texts = [[cell_text(cell) for cell in cells] for _, cells in raw[: max(PROBE_LINES, header_row or 0)]]
    if not texts:
        raise BadInputError(f"{name}: expected a table with a header, found no filled line; save the table again")
    if header_row is not None:
        at = next((i for i, (line, _) in enumerate(raw[: len(texts)]) if line == header_row), None)
        if at is None:
            raise BadInputError(f"{name}: expected the header in line {header_row}, found no filled line there")
        found = _best(raw, texts, count_known, [at])
        if found is None and not is_guessing:
            raise BadInputError(_nothing_known(name, raw[at][0], texts[at], known_terms))
        return found or Header(texts[at], raw[at][0], at + 1)
    found = _best(raw, texts, count_known, range(len(texts)))
    if found is None and is_guessing:
        found = _guess(raw, texts)
    if found is not None:
        return found
    filled = [cell for cell in texts[0] if cell]
    if sum(_NUMBERLIKE.fullmatch(cell) is not None for cell in filled) * 2 > len(filled):
        raise BadInputError(
            f"{name}, line {raw[0][0]}: expected a header that names the columns, found numbers "
            f"({shorten(', '.join(filled))}); add a first line such as: {known_terms}"
        )
    raise BadInputError(_nothing_known(name, raw[0][0], texts[0], known_terms))


def _best(raw: RawRows, texts: list[list[str]], count_known: CountKnown, among: Sequence[int]) -> Header | None:
    """The first line with most known names; joined with the line above where that knows more or tells twins apart."""
    scored = []
    for i in among:
        scored.append(((count_known(texts[i]), not _has_twins(texts[i]), 1), i, texts[i]))
        if i and _is_words(texts[i]) and _is_words(texts[i - 1]):
            joined = _unjoin(_join(texts[i - 1], texts[i]), texts[i], count_known)
            scored.append(((count_known(joined), not _has_twins(joined), 0), i, joined))
    (known, _, is_single), at, found = max(scored, key=lambda entry: entry[0])  # the first of equals
    return Header(found, raw[at][0], at + 1, not is_single) if known else None


def _guess(raw: RawRows, texts: list[list[str]]) -> Header | None:
    for i, cells in enumerate(texts):
        below = i + 2 if i + 1 < len(raw) and is_units_row(raw[i + 1][1]) else i + 1
        if sum(map(bool, cells)) < 2 or not _is_words(cells) or below >= len(texts) or _is_words(texts[below]):
            continue
        joined = _join(texts[i - 1], cells) if i and _has_twins(cells) and _is_words(texts[i - 1]) else cells
        return Header(joined, raw[i][0], i + 1, joined is not cells)
    return None


def _join(groups: Sequence[str], names: Sequence[str]) -> list[str]:
    """Join the names with the groups above; a group goes on to the right until the next one."""
    joined, group = [], ""
    for i in range(max(len(groups), len(names))):
        above = groups[i] if i < len(groups) else ""
        below = names[i] if i < len(names) else ""
        group = above or group
        is_said = not group or tidy_header(below).startswith(tidy_header(group))
        joined.append(above if not below else below if is_said else f"{group} {below}")
    return joined


def _unjoin(joined: Sequence[str], names: Sequence[str], count_known: CountKnown) -> list[str]:
    """Take a name that is known by itself only, and stands there once, without its group."""
    counts = Counter(tidy_header(text) for text in names)
    plain = {text for text in names if counts[tidy_header(text)] == 1 and count_known([text])}
    pairs = zip(joined, [*names, *[""] * (len(joined) - len(names))], strict=True)
    return [name if name in plain and not count_known([text]) else text for text, name in pairs]


def _has_twins(texts: Sequence[str]) -> bool:
    return max(Counter(tidy_header(text) for text in texts if text).values(), default=1) > 1


def _is_words(texts: Sequence[str]) -> bool:
    return not any(_NUMBERLIKE.fullmatch(text) for text in texts)


def is_units_row(cells: Sequence[Cell]) -> bool:
    """Whether a row says the units of the columns above it."""
    if any(not isinstance(cell, str) for cell in cells):
        return False
    filled = [text for cell in cells if (text := cell_text(cell)) and not is_absent(text)]
    if any(parse_number(text, ".") is not None or parse_number(text, ",") is not None for text in filled):
        return False
    units = sum(find_unit(text) is not None for text in filled)
    plain = sum(find_unit(text) is None and not is_time_format(text) for text in filled)
    return units > 0 and units >= plain


def _nothing_known(name: str, line: int, cells: list[str], known_terms: str) -> str:
    found = shorten(", ".join(repr(cell) for cell in cells if cell), 200)
    return (
        f"{name}, line {line}: expected column headers such as {known_terms}, found {found}; "
        "name the columns so, or keep a column mapping for this device"
    )


def name_columns(header: Header, body: RawRows, name: str) -> tuple[str, ...]:
    """Name every column that holds something; those without a header are 'column N'.

    Raises
    ------
    BadInputError
        A header stands there twice.
    """
    texts = [" ".join(text.replace("\ufeff", "").split()) for text in header.texts]
    while texts and not texts[-1]:
        texts.pop()
    named = []
    for column, text in enumerate(texts):
        if text or all(column >= len(cells) or cell_text(cells[column]) == "" for _, cells in body):
            named.append(text)
        else:
            named.append(f"column {column + 1}")
    counts = Counter(tidy_header(text) for text in named if text)
    for key, count in counts.items():
        if count > 1:
            places = [i + 1 for i, text in enumerate(named) if tidy_header(text) == key]
            raise BadInputError(
                f"{name}, line {header.line}: expected every column once, found {named[places[0] - 1]!r} "
                f"{count} times (columns {', '.join(map(str, places))}); rename or remove all but one"
            )
    return tuple(named)
