"""What stands beneath the lesson chart, without Qt: first batch against last in words, with what was felt."""

from collections.abc import Sequence
from dataclasses import dataclass

from review.app.language import say_count, tr
from review.app.number_words import say_change, say_change_interval, say_value
from review.app.sentences import say_sentences
from review.compare import Verdict
from review.compare.samples import MeasureKey, list_left_out
from review.jobs.comparing import LessonComparison
from review.lesson import Swing
from review.lettering import capitalise


@dataclass(frozen=True)
class FirstLast:
    """First batch against last of one measure; texts may be empty. ``first`` and ``last`` are numbers of batches.

    ``is_firm`` says that the change can be told from none: clear or likely. ``noted`` is what must be known before it
    is believed: another club, a row that may be misread, one shot that carries the mean, a drift.
    """

    first: int
    last: int
    first_words: str
    last_words: str
    change: str
    interval: str
    verdict: str
    why: str
    is_firm: bool = False
    left_out: str = ""
    noted: str = ""


def say_first_last(compared: LessonComparison, key: MeasureKey, how_to_judge: str = "") -> FirstLast | None:
    """Say how a measure moved; None where either batch has none of it.

    ``how_to_judge`` is said where nothing is judged because nobody said how far one reading errs.
    """
    found = next((c for c in compared.comparisons if (c.name, c.key_frame) == key), None)
    if found is None or not found.n_first or not found.n_last:
        return None
    hand = compared.pupil.handedness
    left_out = say_left_out([*compared.first_swings, *compared.last_swings])
    means = found.mean_first, found.mean_last
    sides = (
        compared.first.number,
        compared.last.number,
        say_value(found.name, found.mean_first, hand),
        say_value(found.name, found.mean_last, hand),
    )
    if min(found.n_first, found.n_last) == 1:
        return FirstLast(
            *sides, "", "", "", tr("One swing in a batch tells nothing of a change yet."), left_out=left_out
        )
    interval = say_change_interval(found.name, *means, found.low, found.high, hand)
    verdict, why = "", tr("Not in the lesson's aim, so not judged.")
    if found.in_aim:
        verdict = "" if found.verdict is Verdict.NOT_JUDGED else capitalise(tr(found.verdict.value))
        texts = (found.why, found.more_shots_words, found.note)
        said = [f"{capitalise(say_sentences(text))}." for text in texts if text]
        if found.typical_error is None:
            said.insert(1, how_to_judge)
        why = " ".join(filter(None, said))
    return FirstLast(
        *sides,
        say_change(found.name, *means, hand),
        tr("19 times of 20: {interval}", interval=interval) if interval else "",
        verdict,
        why,
        found.verdict in (Verdict.CLEAR, Verdict.LIKELY),
        left_out,
        " ".join(_as_sentence(say_sentences(text)) for text in (*found.warnings, *found.remarks)),
    )


def _as_sentence(text: str) -> str:
    return capitalise(text) if text.endswith((".", "!", "?")) else f"{capitalise(text)}."


def say_left_out(swings: Sequence[Swing]) -> str:
    """How many swings of both batches do not count, and why; '' where all do."""
    found = list_left_out(swings)
    n = sum(map(len, found.values()))
    return f"{say_count(n, '1 swing left out', '{n} swings left out')}: {', '.join(found)}" if found else ""
