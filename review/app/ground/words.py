"""What is said of a batch beside its way: what the pressure does, and what the pictures say of the trail foot."""

import math
from collections.abc import Sequence

from review.app.language import say_number, tr
from review.app.number_words import say_label, say_value
from review.app.sentences import say_sentences
from review.jobs.pressure.batch_means import PressureMean
from review.jobs.pressure.ground_shown import BatchFeet
from review.jobs.pressure.trail_foot import FootMean
from review.lesson import KINDS, Handedness
from review.lettering import capitalise


def say_pattern(batch: BatchFeet) -> str:
    """What the pressure does: 'Keeps moving toward the target until impact (6 of 6)'."""
    return capitalise(say_sentences(batch.pattern) or tr("what it does before impact is not known"))


def say_means(batch: BatchFeet, handedness: Handedness) -> list[str]:
    """Where the pressure is and how far it goes back: 'At impact 64 % ± 5', 'At top 38 % ± 2'."""
    said = {(mean.name, mean.key_frame): _say_mean(mean, handedness) for mean in batch.means}
    sentences = (
        (("pressure_position_pct", "impact"), "at impact {what}"),
        (("pressure_position_pct", "top"), "at top {what}"),
        (("pressure_return_cm", ""), "back before impact {what}"),
    )
    return [capitalise(tr(sentence, what=said[key])) for key, sentence in sentences if key in said]


def _say_mean(mean: PressureMean, handedness: Handedness) -> str:
    value = say_value(mean.name, mean.mean, handedness)
    if not math.isnan(mean.half):
        value = f"{value} ± {say_number(mean.half, KINDS[mean.name].decimals)}"
    value = value.replace(" ", "\N{NO-BREAK SPACE}")
    return tr("about {what}", what=value) if mean.is_about else value


def say_foot(mean: FootMean, n_swings: int, handedness: Handedness) -> str:
    """One number of the trail foot: 'Heel-off: 92 ms before impact'; of how many, where not all swings have it."""
    said = f"{say_label(mean.name, mean.key_frame)}: {say_value(mean.name, mean.mean, handedness)}"
    return capitalise(said if mean.n_swings == n_swings else tr("{what} (mean of {n})", what=said, n=mean.n_swings))


def say_missing(missing: Sequence[tuple[str, str]]) -> list[str]:
    """What the pictures cannot say of the trail foot, each reason once: 'Heel-off: the quick run cannot tell it'."""
    by_reason: dict[str, list[str]] = {}
    for name, why in missing:
        by_reason.setdefault(why, []).append(say_label(name))
    return [f"{capitalise(', '.join(labels))}: {say_sentences(why)}." for why, labels in by_reason.items()]
