"""The data dictionary: a row for every column and every number, made from the catalogue of measures."""

from collections.abc import Sequence

from review.lesson import KINDS
from review.lesson.definitions import DEFINITIONS
from review.takehome.exports.columns import COLUMNS, NumberRow

HEADS = ("table", "name", "label", "unit", "positive", "negative", "definition", "source", "key_frames")


def list_dictionary(rows: Sequence[NumberRow]) -> list[tuple[str, ...]]:
    """Rows of the dictionary under ``HEADS``: the long table's columns, then each number that ``rows`` hold.

    The wide table has the numbers as columns, headed by label and key frame.
    """
    listed: list[tuple[str, ...]] = [("measures", c.name, "", c.unit, "", "", c.definition, "", "") for c in COLUMNS]
    held = {row.measure for row in rows}
    for name, kind in KINDS.items():
        if name in held:
            at = dict.fromkeys(row.key_frame for row in rows if row.measure == name)
            listed.append(
                (
                    "measures, swings",
                    name,
                    kind.label,
                    name_unit(name),
                    kind.positive,
                    kind.negative,
                    DEFINITIONS[name],
                    kind.source.value,
                    ", ".join(key_frame for key_frame in at if key_frame),
                )
            )
    return listed


def name_unit(name: str) -> str:
    """The unit of a measure in plain letters."""
    return KINDS[name].unit.strip().replace("°", "deg")
