"""What other rooms say, in the coach's language: numbers phrase by phrase, sentences each by a template with places.

Only what the program itself says goes through here, never words of a coach or pupil.

In a template ``{place}`` holds what is said in turn in that language where it is known, ``{n}`` a number, ``{=unit}``
a unit, and ``{=place}`` what stays as it is: names, files, the coach's own words.
"""

import re
from functools import cache, lru_cache

from review.app.language import chosen, load_phrases, load_sentences, say_figures
from review.lesson import KINDS
from review.lettering import capitalise

_WORD = r"[^\W\d]+"
_UNITS = set(re.findall(_WORD, " ".join(kind.unit for kind in KINDS.values()))) - {"to"}
_PLACE = r"\{=?\w+\}"
_HELD = r"(?:(?!; ).)+?"
"""What a place may hold: not more than one of the parts that semicolons make."""
_NARROW = {r"n\d?": r"[-−+±]?\d[\d.,]*", r"unit\d?": r"\S+"}
"""What places of a name hold instead: a number, a unit."""
_ENDS = re.compile(r"(?<=[^.][.!?])\s+(?=[^\Wa-z])")


def say_in_words(text: str) -> str:
    """Say a sentence about numbers in the chosen language; English stays whole where a phrase of it is not known."""
    phrases = load_phrases()
    if not phrases:
        return text
    find = _finder(tuple(phrases))
    if set(re.findall(_WORD, find.sub("", text))) - _UNITS:
        return text
    return say_figures(find.sub(lambda found: phrases[found.group(0)], text))


def say_sentences(text: str) -> str:
    """Say a text of the program in the chosen language, sentence by sentence; what is not known stays as it came."""
    return _say_all(text, chosen()) if text and load_sentences() else text


@lru_cache(4096)
def _say_all(text: str, language: str) -> str:
    """The same, kept for each ``language``."""
    return _say_text(text, load_sentences())


def _say_text(text: str, templates: dict[str, str]) -> str:
    whole = _say(text, templates)
    return whole if whole is not None else " ".join(_say_one(sentence, templates) for sentence in _ENDS.split(text))


def _say_one(sentence: str, templates: dict[str, str]) -> str:
    """Say one sentence, or the parts of it that semicolons or commas of a list make."""
    said = _say(sentence, templates)
    if said is not None:
        return said
    for between in ("; ", ": "):
        head, found, tail = sentence.partition(between)
        if found:
            return f"{_say_one(head, templates)}{between}{_say_one(tail, templates)}"
    return say_in_words(sentence)


def _say(text: str, templates: dict[str, str]) -> str | None:
    """Say a text that is one template from end to end; None where there is none."""
    small = text[:1].lower() + text[1:]
    for written, is_large in ((text, False), (small, True)):
        bare = _without_stop(written)
        # first without the full stop, so that no place at the end takes it
        bodies = dict.fromkeys(((bare, written[len(bare) :]), (written, "")))
        for pattern, german in _compile(tuple(templates.items())):
            for body, end in bodies:
                found = pattern.fullmatch(body)
                if found:
                    said = _fill(german, found, templates) + end
                    return capitalise(said) if is_large and written != text else said
    return None


def _without_stop(text: str) -> str:
    return text.removesuffix(".") if not text.endswith("..") else text


def _fill(german: str, found: re.Match[str], templates: dict[str, str]) -> str:
    def say(place: re.Match[str]) -> str:
        name = place.group(0)[1:-1]
        held = found.group(name.lstrip("="))
        return held if name.startswith("=") else _say_text(held, templates)

    return re.sub(_PLACE, say, german)


@cache
def _compile(templates: tuple[tuple[str, str], ...]) -> tuple[tuple[re.Pattern[str], str], ...]:
    """The templates as patterns, those with most words of their own first."""
    pairs = [(pair, (_without_stop(pair[0]), _without_stop(pair[1]))) for pair in templates]
    bare = [without if pair[0] != without[0] and pair[1] != without[1] else pair for pair, without in pairs]
    most_first = sorted(bare, key=lambda pair: -len(re.sub(_PLACE, "", pair[0])))
    return tuple((re.compile(_pattern_of(english), re.DOTALL), german) for english, german in most_first)


def _pattern_of(english: str) -> str:
    """A regular expression for a template; its places are named groups."""
    pattern, at = "", 0
    for place in re.finditer(_PLACE, english):
        name = place.group(0)[1:-1].lstrip("=")
        held = next((held for named, held in _NARROW.items() if re.fullmatch(named, name)), _HELD)
        pattern += f"{re.escape(english[at : place.start()])}(?P<{name}>{held})"
        at = place.end()
    return pattern + re.escape(english[at:])


@cache
def _finder(phrases: tuple[str, ...]) -> re.Pattern[str]:
    longest_first = sorted(phrases, key=len, reverse=True)
    return re.compile(rf"(?<![\w-])(?:{'|'.join(map(re.escape, longest_first))})(?![\w-])")
