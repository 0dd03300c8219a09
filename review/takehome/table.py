"""measures.csv: one line per swing, units in the headings, no cell that a spreadsheet would run."""

from review.tables import format_csv
from review.takehome.contents import TakeHome


def format_measures(contents: TakeHome) -> str:
    """Return the table as CSV text (:func:`review.tables.format_csv`)."""
    lines = contents.swings_csv or _lines_from_charts(contents)
    heads = list(dict.fromkeys(head for line in lines for head in line)) or ["swing", "batch"]
    return format_csv([heads, *([line.get(head) for head in heads] for line in lines)])


def _lines_from_charts(contents: TakeHome) -> tuple[dict[str, str | float], ...]:
    lines: dict[int, dict[str, str | float]] = {}
    for chart in contents.charts:
        unit = chart.unit.strip().replace("°", "deg")
        for point in chart.points:
            line = lines.setdefault(point.order, {"swing": float(point.order), "batch": float(point.batch_number)})
            line[f"{chart.title} [{unit}]" if unit else chart.title] = point.value
    return tuple(lines[order] for order in sorted(lines))
