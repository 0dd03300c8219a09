"""The window's words in the coach's language: the English sentence is the key."""

import re
import tomllib
from datetime import date
from functools import cache
from importlib import resources

from review.lettering import MONTHS

LANGUAGES = {"en": "English", "de": "Deutsch"}
"""Languages of the window by code."""

_DECIMAL_MARKS = {"en": ".", "de": ","}
_chosen = "en"
_words: dict[str, str] = {}
_phrases: dict[str, str] = {}
_sentences: dict[str, str] = {}


def tr(text: str, **parts: object) -> str:
    """Say a sentence in the chosen language; ``parts`` fill its ``{names}``. What has no translation stays English."""
    said = _words.get(text, text)
    return said.format(**parts) if parts else said


def say_count(n: int, one: str, many: str) -> str:
    """Say how many: ``one`` of a single thing, else ``many`` with its ``{n}``."""
    return tr(one) if n == 1 else tr(many, n=n)


def say_number(value: float, n_decimals: int | None = None) -> str:
    """Write a number as the chosen language does, with so many decimals; None: as many as it needs, at most six."""
    return say_figures(f"{value:g}" if n_decimals is None else f"{value:.{n_decimals}f}")


def say_figures(text: str) -> str:
    """Give the numbers in a text the decimal mark of the chosen language."""
    return re.sub(r"(?<=\d)\.(?=\d)", _DECIMAL_MARKS[_chosen], text)


def speak(code: str) -> None:
    """Choose the language of everything said from now on.

    Raises
    ------
    KeyError
        When there is no such language.
    """
    if code not in LANGUAGES:
        raise KeyError(code)
    global _chosen, _words, _phrases, _sentences  # noqa: PLW0603 - one language is spoken at a time
    _chosen = code
    # whole ones in their place: another thread may be reading in those of before
    _words = load_words(code)
    _phrases = load_words(f"{code}_numbers") if code != "en" else {}
    _sentences = load_words(f"{code}_sentences")


def chosen() -> str:
    """The code of the language that is spoken."""
    return _chosen


def load_phrases() -> dict[str, str]:
    """The phrases about numbers in the chosen language; English needs none."""
    return _phrases


def load_sentences() -> dict[str, str]:
    """The sentences of other rooms in the chosen language, with their places; in English those that name a command."""
    return _sentences


@cache
def load_words(code: str) -> dict[str, str]:
    """The translations of a language; English needs none."""
    if code == "en":
        return {}
    text = resources.files("review.app").joinpath("languages", f"{code}.toml").read_text(encoding="utf-8")
    return dict(tomllib.loads(text))


def say_day(day: date) -> str:
    """A day as the coach's language writes it: 14 March 2026."""
    return tr("{day} {month} {year}", day=day.day, month=tr(MONTHS[day.month - 1]), year=day.year)
