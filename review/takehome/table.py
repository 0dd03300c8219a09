"""measures.csv: one line per swing, units in the headings, no cell that a spreadsheet would run."""

import csv
import io
import math

from review.takehome.contents import TakeHome
from review.takehome.text import clean

_RUNNABLE = ("=", "+", "-", "@", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def format_measures(contents: TakeHome) -> str:
    """Return the table as CSV text (comma, point, CRLF as in RFC 4180).

    A text cell that a spreadsheet could take for a formula is led by an apostrophe, and a semicolon
    in a text becomes a comma: where spreadsheets split at semicolons, what follows one would be a
    cell of its own.
    """
    lines = contents.swings_csv or _lines_from_charts(contents)
    heads = list(dict.fromkeys(head for line in lines for head in line)) or ["swing", "batch"]
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\r\n")
    writer.writerow([_cell(head) for head in heads])
    for line in lines:
        writer.writerow([_cell(line.get(head, "")) for head in heads])
    return text.getvalue()


def _cell(value: str | float) -> str:
    if not isinstance(value, str):
        number = float(value)
        return "" if not math.isfinite(number) else str(int(number)) if number.is_integer() else repr(number)
    value = clean(value).replace(";", ",")
    return f"'{value}" if value.startswith(_RUNNABLE) else value


def _lines_from_charts(contents: TakeHome) -> tuple[dict[str, str | float], ...]:
    lines: dict[int, dict[str, str | float]] = {}
    for chart in contents.charts:
        unit = chart.unit.strip().replace("°", "deg")
        for point in chart.points:
            line = lines.setdefault(point.order, {"swing": float(point.order), "batch": float(point.batch_number)})
            line[f"{chart.title} [{unit}]" if unit else chart.title] = point.value
    return tuple(lines[order] for order in sorted(lines))
