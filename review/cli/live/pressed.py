"""What each of the coach's keys stands for in a terminal."""

import re

from review.cli.screen import say
from review.cli.wrapping import pack
from review.jobs.live import LiveSession
from review.lesson import SwingKind

_KINDS = {
    "s": SwingKind.SHOT,
    "p": SwingKind.PRACTICE,
    "d": SwingKind.DRILL,
    "c": SwingKind.DEMONSTRATION,
}
KEYS = (
    "b new batch",
    "l last swing into the new batch (again: the one before)",
    "last swing was: s shot, p practice, d drill, c coach's demonstration",
    "6p swing 6 was practice (so with s d c l)",
    "w words (cue / feel)",
    "y yes, n no: to a question",
    "u undo",
    "m measuring off, on",
    "e end of the lesson",
    "h these keys",
)


def press(session: LiveSession, pressed: str) -> None:
    """Do what a key stands for.

    Raises
    ------
    BadInputError
        When there is nothing it could apply to.
    """
    number, key, text = _split(pressed)
    coach = session.coach
    if key in _KINDS:
        coach.set_kind(_KINDS[key], number)
    elif key == "l":
        coach.move_last_swing(number)
    elif number is not None:
        say("A number goes with s p d c or l; h shows the keys.")
    elif key == "b":
        coach.start_batch()
        if text:
            coach.describe_batch(*_words(text))
    elif key == "w":
        batch = coach.describe_batch(*_words(text))
        say(f"Batch {batch.number}: cue {batch.cue or 'none'}; feel {batch.feel or 'none'}.")
    elif key in ("y", "n"):
        say(coach.answer(key == "y"))
    elif key == "u":
        say(f"Taken back: {coach.undo()}.")
    elif key == "m":
        say("Measuring goes on." if session.toggle_measuring() else "Measuring is off.")
    elif key == "e":
        session.end()
    elif key in ("h", "?"):
        say(pack(KEYS, "Keys: ", " | "))
    else:
        say(f"{key} is no key; h shows the keys.")


def _split(pressed: str) -> tuple[int | None, str, str]:
    """The number of a swing before the key or alone after it (None = none), the key, the text after it."""
    found = re.fullmatch(r"(\d*)\s*(\D?)(.*)", pressed.strip(), re.DOTALL)
    if found is None:
        return None, pressed, ""
    number, key, text = found[1], found[2].lower(), found[3].strip()
    if not number and key in (*_KINDS, "l") and text.isascii() and text.isdigit():
        number, text = text, ""
    return int(number) if number else None, key, text


def _words(text: str) -> tuple[str, str]:
    cue, _, feel = text.partition("/")
    return cue.strip(), feel.strip()
