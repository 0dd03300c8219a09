"""What is said of a library measured again, without Qt."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING

from review.app.language import say_count, say_figures, tr
from review.app.number_words import say_label
from review.app.sentences import say_sentences
from review.lesson import KINDS

if TYPE_CHECKING:  # loaded beside the window
    from review.jobs.keeping_house.answering import Waiting
    from review.jobs.keeping_house.measuring_again import Accepted, Again
    from review.jobs.keeping_house.what_changed import Change


def say_waiting(waiting: Waiting) -> str:
    """What waits to be accepted; '' where nothing does."""
    said = ""
    if waiting.n_swings:
        swings = say_count(waiting.n_swings, "1 swing", "{n} swings")
        said = tr("New body numbers wait beside those in use: {swings}. New less old:", swings=swings)
    if waiting.n_trouble:
        swings = say_count(waiting.n_trouble, "1 swing", "{n} swings")
        why = tr("Not measured again, clips gone or not readable: {swings}. Their numbers stay.", swings=swings)
        said = f"{said} {why}".strip() if not said else f"{why} {said}"
    return said


def say_change(change: Change) -> str:
    """How a newer method changes one measure: usually, at most, for how many swings more than its interval said."""
    parts = [say_count(change.n_swings, "1 swing", "{n} swings")]
    if change.n_swings:
        typical, largest = (_say_size(change.name, value) for value in (change.typical, change.largest))
        parts.append(tr("usually {typical}, at most {largest}", typical=typical, largest=largest))
    for n, words in (
        (change.n_outside, "{n} beyond the interval told before"),
        (change.n_gained, "{n} that had none"),
        (change.n_lost, "{n} that have none any more"),
    ):
        parts += [tr(words, n=n)] if n else []
    return f"{say_label(change.name, change.key_frame)}: {' · '.join(parts)}"


def say_measured(again: Again, waiting: Waiting) -> str:
    """What came of measuring again."""
    said = [say_sentences(problem) for problem in again.problems]
    if waiting.n_swings:
        said.append(tr("Measured again. Take the new numbers, or let them go; nothing has changed yet."))
    elif not waiting.n_trouble and not said:
        said.append(tr("All body numbers are by today's method; nothing is to be measured again."))
    else:
        said.append(tr("No new numbers; those in use stay."))
    return " ".join(said)


def say_accepted(done: Accepted) -> str:
    """What came of taking the new numbers."""
    said = tr("The new numbers are in use: {swings}.", swings=say_count(done.n_accepted, "1 swing", "{n} swings"))
    if done.n_changed_since:
        swings = say_count(done.n_changed_since, "1 swing", "{n} swings")
        said += " " + tr(
            "Marks, set-ups or clips changed since: {swings}; their old numbers stay. Measure again once more.",
            swings=swings,
        )
    return said


def _say_size(name: str, value: float) -> str:
    kind = KINDS[name]
    if math.isnan(value):
        return "–"
    return say_figures(f"{value:+.{kind.decimals}f}{kind.unit.replace(' to 1', '')}".replace("-", "−"))
