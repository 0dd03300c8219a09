"""A comparison as a table for a spreadsheet."""

import csv
import io
import math
import os
from collections.abc import Sequence
from dataclasses import fields
from pathlib import Path

from review.cli.screen import check_can_be_written
from review.compare import Comparison
from review.lesson import KINDS

_NUMBERS = tuple(
    field.name
    for field in fields(Comparison)
    if field.type in (int, float, float | None) and field.name not in ("more_shots", "typical_error", "setup_sd")
)


def write_comparison_csv(comparisons: Sequence[Comparison], to: Path) -> None:
    """Write one line a measure; an earlier file is replaced in one step or stays as it is."""
    check_can_be_written(to)
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(["measure", "key_frame", "label", "unit", *_NUMBERS, "verdict"])
    for c in comparisons:
        numbers = [getattr(c, name) for name in _NUMBERS]
        cells = ["" if number is None or math.isnan(number) else number for number in numbers]
        writer.writerow([c.name, c.key_frame, c.label, KINDS[c.name].unit.strip(), *cells, c.verdict.value])
    aside = to.with_name(f".{to.name}.{os.getpid()}.part")
    try:
        aside.write_text(text.getvalue(), encoding="utf-8-sig")
        aside.replace(to)
    finally:
        aside.unlink(missing_ok=True)
