"""A comparison as a table for a spreadsheet."""

import os
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from review.cli.screen import check_can_be_written
from review.compare import Comparison
from review.lesson import KINDS
from review.tables import format_csv

_NUMBERS = tuple(
    field.name
    for field in fields(Comparison)
    if field.type in (int, float, float | None) and field.name not in ("more_shots", "typical_error", "setup_sd")
)


def write_comparison_csv(comparisons: Sequence[Comparison], to: Path) -> None:
    """Write one line a measure; an earlier file is replaced in one step or stays as it is."""
    check_can_be_written(to)
    heads = ["measure", "key_frame", "label", "unit", *_NUMBERS, "verdict"]
    lines = [
        [c.name, c.key_frame, c.label, KINDS[c.name].unit.strip(), *(getattr(c, n) for n in _NUMBERS), c.verdict.value]
        for c in comparisons
    ]
    aside = to.with_name(f".{to.name}.{os.getpid()}.part")
    try:
        aside.write_bytes(format_csv([heads, *lines]).encode("utf-8-sig"))
        aside.replace(to)
    finally:
        aside.unlink(missing_ok=True)
