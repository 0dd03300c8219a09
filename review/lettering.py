"""Text from people made fit to be drawn: on one line, without control characters, broken and shortened to its place."""

import unicodedata
from collections.abc import Callable

_MOST_CHARACTERS = 1000


def clean(text: str) -> str:
    """Return the text on one line without control, formatting and unassigned characters."""
    text = unicodedata.normalize("NFC", text[: 4 * _MOST_CHARACTERS])
    kept = [" " if c.isspace() else c for c in text if c.isspace() or unicodedata.category(c)[0] != "C"]
    return " ".join("".join(kept).split())[:_MOST_CHARACTERS]


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
    return text[: _fitting(text, width - measure("…"), measure)].rstrip() + "…"


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
