"""What the lesson tells, in the window's words: no command lines, and in the coach's language; without Qt."""

import re

from review.app.language import tr
from review.app.pupils.words import say_purpose
from review.app.sentences import say_sentences
from review.lesson import Purpose

_SENTENCES = (
    (r"the new batch", "the new batch"),
    (r"the batch of swing (?P<n>\d+)", "the batch of swing {n}"),
    (r"what swing (?P<n>\d+) was", "what swing {n} was"),
    (r"whether swing (?P<n>\d+) counts", "whether swing {n} counts"),
    (r"the answer", "the answer"),
    (r"the words for the batch", "the words for the batch"),
    (r"the club", "the club"),
    (r"the end of the lesson", "the end of the lesson"),
    (r"Paired\.", "Paired."),
    (r"Noted: that swing has no row\.", "Noted: that swing has no row."),
    (r"They are taken in\.", "They are taken in."),
    (r"They are left out\.", "They are left out."),
    (
        r"Consent to (?P<what>.+?) is not on record.*: ask (?P<who>.+), then add it with .*",
        "Consent to {what} is not on record: ask {who}, then note it with A.",
    ),
    (
        r"(?P<who>.+) refused consent on (?P<day>.+): nothing is measured or handed out\.",
        "{who} refused consent on {day}: nothing is measured or handed out.",
    ),
    (
        r"No body numbers: (?P<who>.+) has not consented to being measured\..*",
        "No body numbers: {who} has not agreed to be measured. "
        "With consent (A), M in the lesson chart makes them after the lesson.",
    ),
    (
        r"So no body numbers are made in this lesson; .*",
        "So no body numbers are made in this lesson; clips and rows are paired all the same.",
    ),
    (
        r"(?P<file>.+) is a recording of (?P<span>.+), not a clip of one swing; .*",
        "{file} is a recording of {span}, not a clip of one swing. It is not taken in.",
    ),
    (
        r"(?P<file>.+) plays for (?P<span>.+) and is taken in as one swing slowed down\..*",
        "{file} plays for {span} and is taken in as one swing slowed down.",
    ),
    (
        r"(?P<file>.+) was filmed outside the lesson and is left out; .*",
        "{file} was filmed outside the lesson and is left out.",
    ),
    (
        r"(?P<file>.+) has grown since it was taken in; .*",
        "{file} has grown since it was taken in; the longer one takes its place.",
    ),
    (
        r"(?P<file>.+) was filmed in the lesson of (?P<who>.+) before and is filed there\.",
        "{file} was filmed in the lesson of {who} before and is filed there.",
    ),
)
"""What ``jobs/live`` says, and what the window says for it: a sentence whose parts stand in both."""


def say_told(text: str) -> str:
    """Say what the lesson told; what is not known here is said as it came."""
    for pattern, sentence in _SENTENCES:
        found = re.fullmatch(pattern, text, re.DOTALL)
        if found:
            parts = found.groupdict()
            if "what" in parts:  # what a consent covers
                parts["what"] = ", ".join(say_purpose(Purpose(word)) for word in parts["what"].split(", "))
            return tr(sentence, **parts)
    return say_sentences(text)


def say_asked(order: int, row_number: int, text: str) -> str:
    """Ask whether a row of the table belongs to a swing; ``text`` says why that is not known."""
    question = tr("Does row {row} of the table belong to swing {n}?", row=row_number, n=order)
    return f"{question} {text} {tr('Y yes, N that swing has no row')}"
