"""What is said of a batch above its way: what the pressure does, and what the pictures say of the trail foot."""

from collections.abc import Sequence

from review.app.language import tr
from review.app.number_words import say_label, say_value
from review.app.sentences import say_sentences
from review.jobs.pressure.showing import BatchFeet
from review.lesson import Handedness
from review.lettering import capitalise


def say_batch(batch: BatchFeet, handedness: Handedness) -> str:
    """One line: 'Batch 1: keeps moving toward the target until impact (6 of 6). Trail-foot twist: 4° …'."""
    pattern = say_sentences(batch.pattern) or tr("what it does before impact is not known")
    foot = ", ".join(f"{say_label(name)} {say_value(name, mean, handedness)}" for name, mean, _ in batch.foot)
    fewest = min((n for *_, n in batch.foot), default=0)
    of_how_many = tr("means of {n} shots", n=fewest) if fewest > 1 else ""
    said = tr("Batch {n}: {what}", n=batch.number, what=pattern)
    foot = capitalise(foot)
    return f"{said}. {foot}" + (f" ({of_how_many})" if foot and of_how_many else "") if foot else f"{said}."


def say_missing(missing: Sequence[tuple[str, str]]) -> list[str]:
    """What the pictures cannot say of the trail foot, each reason once: 'Heel-off: the quick run cannot tell it'."""
    by_reason: dict[str, list[str]] = {}
    for name, why in missing:
        by_reason.setdefault(why, []).append(say_label(name))
    return [f"{capitalise(', '.join(labels))}: {say_sentences(why)}." for why, labels in by_reason.items()]
