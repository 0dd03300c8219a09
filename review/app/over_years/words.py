"""How the window says what was found of a pupil's years: in the coach's language, days as elsewhere; without Qt."""

from review.app.language import say_count, say_day, tr
from review.app.number_words import say_change, say_change_alone, say_change_interval, say_label, say_measure, say_value
from review.app.sentences import say_sentences
from review.jobs.history.searching import MOST_FOUND, WrittenFound
from review.jobs.history.speech import Speech


def make_speech() -> Speech:
    """The window's own way of saying it, in the language chosen now."""
    return Speech(
        tr=tr,
        sentence=say_sentences,
        day=say_day,
        label=say_label,
        value=say_value,
        measure=say_measure,
        change=say_change,
        change_alone=say_change_alone,
        interval=say_change_interval,
    )


def say_found(found: WrittenFound) -> str:
    """One text that fits, in two lines: the words; whose, when and what."""
    what = {
        "aim": tr("aim"),
        "practice": tr("to practise alone"),
        "check alone": tr("check alone"),
        "cue": tr("told"),
        "feel": tr("felt"),
        "mark": tr("note on a mark"),
        "drawing": tr("words drawn on a clip"),
        "private note": tr("private note"),
    }[found.what]
    parts = [found.pupil_name]
    if found.held_on is not None:
        parts.append(say_day(found.held_on))
    if found.batch_number:
        parts.append(tr("batch {n}", n=found.batch_number))
    head = " · ".join((*parts, what))
    return f"{found.words or tr('shown on the pupil’s page alone (N)')}\n{head}"


def say_how_many(n_found: int, text: str) -> str:
    """How many texts were found."""
    if not text.strip():
        return tr("Write words: cues, feels, aims and notes that hold all of them come up.")
    if n_found >= MOST_FOUND:
        return tr("The {n} written last; more words give fewer.", n=n_found)
    return say_count(n_found, "1 text", "{n} texts") if n_found else tr("Nothing was written with these words.")
