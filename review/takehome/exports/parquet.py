"""The same tables as Parquet, with unit and meaning of every column kept in it."""

from collections.abc import Sequence
from pathlib import Path
from typing import Any

from review.lesson import label
from review.lesson.definitions import DEFINITIONS
from review.takehome.exports.columns import COLUMNS, NumberRow
from review.takehome.exports.dictionary import name_unit

_SAID = {"low": "lower end of the 90 % interval", "high": "upper end of the 90 % interval"}


def write_long(rows: Sequence[NumberRow], path: Path) -> None:
    """Write the long table, one row a number."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    types: dict[str, Any] = {"text": pa.string(), "whole": pa.int64(), "number": pa.float64()}
    fields = [pa.field(c.name, types[c.holds], metadata=_about(c.unit, c.definition)) for c in COLUMNS]
    columns = zip(*(row.cells() for row in rows), strict=True) if rows else ((),) * len(COLUMNS)
    arrays = [pa.array(list(cells), field.type) for cells, field in zip(columns, fields, strict=True)]
    pq.write_table(pa.Table.from_arrays(arrays, schema=pa.schema(fields)), path)


def write_wide(rows: Sequence[NumberRow], path: Path) -> None:
    """Write one row a swing, a number a column, with the ends of its interval and whether it is a bound."""
    import pyarrow as pa
    import pyarrow.parquet as pq

    heads = [c for c in COLUMNS[: [c.name for c in COLUMNS].index("measure")]]
    swings = list(dict.fromkeys(row.cells()[: len(heads)] for row in rows))
    place = {swing: i for i, swing in enumerate(swings)}
    types: dict[str, Any] = {"text": pa.string(), "whole": pa.int64()}
    fields = [pa.field(c.name, types[c.holds], metadata=_about("", c.definition)) for c in heads]
    columns = [[swing[i] for swing in swings] for i in range(len(heads))]
    for name, key_frame in dict.fromkeys((row.measure, row.key_frame) for row in rows):
        own = [row for row in rows if (row.measure, row.key_frame) == (name, key_frame)]
        for part in ("value", "low", "high", "bound"):
            cells: list[Any] = [None] * len(swings)
            for row in own:
                cells[place[row.cells()[: len(heads)]]] = getattr(row, part)
            if part == "value" or any(cells):
                title = label(name, key_frame) + ("" if part == "value" else f" {part}")
                is_text = part == "bound"
                about = _about("" if is_text else name_unit(name), _SAID.get(part, DEFINITIONS[name]))
                fields.append(pa.field(title, pa.string() if is_text else pa.float64(), metadata=about))
                columns.append(cells)
    arrays = [pa.array(cells, field.type) for cells, field in zip(columns, fields, strict=True)]
    pq.write_table(pa.Table.from_arrays(arrays, schema=pa.schema(fields)), path)


def _about(unit: str, definition: str) -> dict[str, str]:
    return {"unit": unit, "definition": definition}
