"""What is said of swings that are put right, without Qt."""

from collections.abc import Sequence

from review.app.language import tr
from review.lesson import Batch, Swing


def say_swing(swing: Swing, batch: Batch | None, is_kept: bool = False) -> str:
    """Say what can be put right and does not stand above the chart: what a swing is, a batch's target and ball."""
    counts = tr("left out: {why}", why=swing.left_out) if swing.left_out else ""
    parts = [tr("Swing {n}", n=swing.order), tr(swing.kind.value), counts, tr("kept for good") if is_kept else ""]
    if batch is None:
        parts.append(tr("in no batch"))
    else:
        parts += [
            tr("Batch {n}", n=batch.number),
            "" if batch.is_closed else tr("still open"),
            tr("{what}: {words}", what=tr("Target"), words=batch.target) if batch.target else "",
            tr("{what}: {words}", what=tr("Ball"), words=batch.ball) if batch.ball else "",
        ]
    return " · ".join(part for part in parts if part)


def say_swings(swings: Sequence[Swing]) -> str:
    """Name swings that follow each other: 'swings 5 to 9'."""
    return tr("swings {a} to {b}", a=swings[0].order, b=swings[-1].order)
