"""The number that a device's table gives a shot, in a column of its own."""

from review.lesson import Shot
from review.shots.terms import find_meaning
from review.tables import ColumnMapping, tidy_header


def find_shot_number(shot: Shot, mapping: ColumnMapping | None = None) -> str:
    """What the column of the shot number says of a row; "" where there is none.

    Parameters
    ----------
    mapping : the one its table was read by, which may name that column; else plain terms do.
    """
    mapped = {tidy_header(name) for name, role in mapping.columns.items() if role == "shot number"} if mapping else ()
    named = [text for name, text in shot.extra.items() if tidy_header(name) in mapped]
    meant = [text for name, text in shot.extra.items() if find_meaning(name) == ("shot number", True)]
    return next(iter((*named, *meant)), "")
