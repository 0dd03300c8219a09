"""Text from people made fit to be drawn: on one line, without control characters, broken and shortened to its place."""

import re
import unicodedata
from collections.abc import Callable

MONTHS = (
    *("January", "February", "March", "April", "May", "June"),
    *("July", "August", "September", "October", "November", "December"),
)
"""The same on every computer, whatever its language."""
_MOST_CHARACTERS = 1000
_JOINERS = "\u200c\u200d"
"""They shape letters of several scripts and make one picture of several; at the edge of a word they do nothing."""
_IDLE_JOINERS = re.compile(rf"(?:^|(?<=[\s{_JOINERS}]))[{_JOINERS}]+|[{_JOINERS}]+(?=\s|$)")


def clean(text: str) -> str:
    """Return the text on one line without control and formatting characters; those that join letters stay."""
    text = unicodedata.normalize("NFC", text[: 4 * _MOST_CHARACTERS])
    kept = "".join(" " if c.isspace() else c for c in text if _is_kept(c))
    return " ".join(_IDLE_JOINERS.sub("", kept).split())[:_MOST_CHARACTERS]


def _is_kept(c: str) -> bool:
    if c.isspace() or c in _JOINERS:
        return True
    category = unicodedata.category(c)
    if category == "Cn":  # a letter or picture newer than this table, unless it is none for ever
        return not (0xFDD0 <= ord(c) <= 0xFDEF or ord(c) & 0xFFFE == 0xFFFE)
    return category[0] != "C"


def wrap(text: str, width: float, n_lines: int, measure: Callable[[str], float]) -> tuple[str, ...]:
    """Break a text into at most ``n_lines`` lines no wider than ``width``, the last cut with an ellipsis.

    ``measure`` gives the width of a piece of text in the unit of ``width``. A word wider than the
    line is broken.
    """
    words = text.split()
    lines: list[str] = []
    while words and len(lines) < n_lines:
        if len(lines) == n_lines - 1:
            lines.append(_cut(" ".join(words), width, measure))
            break
        line = words.pop(0)
        if measure(line) > width:
            n = _fitting(line, width, measure)
            line, rest = line[:n], line[n:]
            words.insert(0, rest)
        else:
            while words and measure(f"{line} {words[0]}") <= width:
                line = f"{line} {words.pop(0)}"
        lines.append(line)
    return tuple(lines)


def _cut(text: str, width: float, measure: Callable[[str], float]) -> str:
    if measure(text) <= width:
        return text
    n = _fitting(text, width - measure("…"), measure)
    while n > 1 and n < len(text) and _goes_with_the_one_before(text[n]):
        n -= 1  # no letter without its accent
    return text[:n].rstrip() + "…"


def _goes_with_the_one_before(c: str) -> bool:
    return c in _JOINERS or unicodedata.category(c)[0] == "M"


def _fitting(text: str, width: float, measure: Callable[[str], float]) -> int:
    """Number of leading characters (at least 1) that fit."""
    low, high = 1, len(text)
    while low < high:
        middle = (low + high + 1) // 2
        if measure(text[:middle]) <= width:
            low = middle
        else:
            high = middle - 1
    return low


def capitalise(text: str) -> str:
    """Begin with a capital, the rest as it is."""
    return text[:1].upper() + text[1:]
