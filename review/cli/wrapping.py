"""Lines no wider than the terminal, broken between words or between things said."""

import textwrap
from collections.abc import Sequence

from review.cli.screen import screen

_LEAST_WIDTH = 40


def fill(text: str, indent: str = "") -> str:
    """Break a sentence between words, later lines indented; whole where nobody looks, so that it can be searched."""
    if not screen.is_terminal:
        return text
    return textwrap.fill(
        text, _width(), subsequent_indent=indent, break_long_words=False, break_on_hyphens=False, tabsize=2
    )


def pack(parts: Sequence[str], head: str = "", separator: str = "; ") -> str:
    """Put things said one after the other, as many to a line as fit; later lines begin below the first part."""
    room = _width() - len(head)
    lines = list(parts[:1])
    for part in parts[1:]:
        longer = f"{lines[-1]}{separator}{part}"
        if len(longer) < room:
            lines[-1] = longer
        else:
            lines[-1] += separator.rstrip()
            lines.append(part)
    return head + f"\n{' ' * len(head)}".join(lines)


def _width() -> int:
    return max(screen.width, _LEAST_WIDTH)
