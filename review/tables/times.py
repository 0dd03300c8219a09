"""Dates and times of day as tables write them. Clocks are naive local time of the device."""

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date, datetime, time, timedelta

from review.tables.cells import Cell

_TIME = re.compile(
    r"(?P<h>\d{1,2}):(?P<m>\d{2})(?::(?P<s>\d{2})(?:[.,](?P<f>\d{1,9}))?)?"
    r"\s*(?P<half>[ap]\.?m\.?)?\s*(?P<zone>z|utc|[+-]\d{2}:?\d{2})?",
    re.IGNORECASE,
)
_DATE = re.compile(r"(?P<a>\d{1,4})(?P<sep>[-./ ])(?P<b>\d{1,2})(?P=sep)(?P<c>\d{2,4})")
_NAMED_DATE = re.compile(
    r"(?:(?P<d1>\d{1,2})[. \-]+(?P<m1>[a-z]{3,9})\.?|(?P<m2>[a-z]{3,9})\.?[ \-]+(?P<d2>\d{1,2}))[, \-]+(?P<y>\d{4})",
    re.IGNORECASE,
)
_MONTHS = (  # not from the locale: a table is not written in the reader's language
    *("january", "february", "march", "april", "may", "june"),
    *("july", "august", "september", "october", "november", "december"),
)


@dataclass(frozen=True)
class When:
    """What one cell says of time: a date, a time of day, or both; ``resolution_s`` from the digits seen."""

    on: date | None
    at: time | None
    resolution_s: float
    has_zone: bool = False


def parse_when(cell: Cell, date_order: str = "auto", time_format: str = "") -> When | None:
    """Parse a date, a time or both; None when the cell holds neither.

    Parameters
    ----------
    date_order
        ``ymd``, ``dmy``, ``mdy``; ``auto`` takes the day first where that is a date (use ``find_date_order``
        on the whole column before).
    time_format
        A strptime format that texts must have; empty for the usual forms.
    """
    if isinstance(cell, datetime):
        only_date = cell.time() == time(0)
        return When(cell.date(), None if only_date else _naive(cell.time()), _resolution(cell.microsecond))
    if isinstance(cell, time):
        return When(None, _naive(cell), _resolution(cell.microsecond))
    if not isinstance(cell, str):
        return None
    text = " ".join(cell.split())
    if time_format:
        return _parse_by_format(text, time_format)
    match = re.search(rf"(?:^|[T ,]){_TIME.pattern}$", text, re.IGNORECASE)
    if match is None:
        on = _parse_date(text, date_order)
        return None if on is None else When(on, None, 86400.0)
    clock = _build_time(match)
    if clock is None:
        return None
    at, resolution_s = clock
    head = text[: match.start()].strip(" ,T")
    on = _parse_date(head, date_order) if head else None
    if head and on is None:
        return None
    return When(on, at, resolution_s, match["zone"] is not None)


def _naive(at: time) -> time:
    return at.replace(tzinfo=None)


def _resolution(microsecond: int) -> float:
    if microsecond == 0:
        return 1.0
    return next(step / 1e6 for step in (100_000, 10_000, 1000, 100, 10, 1) if microsecond % step == 0)


def _build_time(match: re.Match[str]) -> tuple[time, float] | None:
    hour, minute, second = int(match["h"]), int(match["m"]), int(match["s"] or 0)
    if match["half"]:
        if not 1 <= hour <= 12:
            return None
        hour = hour % 12 + (12 if match["half"][0] in "pP" else 0)
    if hour > 23 or minute > 59 or second > 59:
        return None
    digits = match["f"] or ""
    resolution_s = 60.0 if match["s"] is None else 10.0 ** -len(digits)
    return time(hour, minute, second, int(digits[:6].ljust(6, "0"))), resolution_s


def _parse_by_format(text: str, time_format: str) -> When | None:
    try:
        moment = datetime.strptime(text, time_format)
    except ValueError:
        return None
    has_date = any(f"%{letter}" in time_format for letter in "djxcDF")
    has_time = any(f"%{letter}" in time_format for letter in "HIXcT")
    digits = re.search(r"[.,](\d{1,6})", text) if "%f" in time_format else None
    seconds = 1.0 if any(f"%{letter}" in time_format for letter in "SXcT") else 60.0
    resolution_s = 10.0 ** -len(digits[1]) if digits else seconds
    on = moment.date() if has_date else None
    return When(on, _naive(moment.time()) if has_time else None, resolution_s, moment.tzinfo is not None)


def _parse_date(text: str, date_order: str) -> date | None:
    named = _NAMED_DATE.fullmatch(text)
    if named is not None:
        word = (named["m1"] or named["m2"]).casefold()
        months = [i for i, month in enumerate(_MONTHS, start=1) if month.startswith(word)]
        return _build_date(int(named["y"]), months[0], int(named["d1"] or named["d2"])) if months else None
    match = _DATE.fullmatch(text)
    if match is None:
        return None
    a, b, c = int(match["a"]), int(match["b"]), int(match["c"])
    if len(match["a"]) == 4:
        return _build_date(a, b, c)
    if len(match["a"]) == 3 or len(match["c"]) == 3:
        return None
    if date_order == "ymd":
        return _build_date(2000 + a, b, c) if len(match["c"]) == 2 else None
    year = c if len(match["c"]) == 4 else 2000 + c
    if date_order == "mdy":
        return _build_date(year, a, b)
    day_first = _build_date(year, b, a)
    return _build_date(year, a, b) if day_first is None and date_order == "auto" else day_first


def _build_date(year: int, month: int, day: int) -> date | None:
    try:
        return date(year, month, day)
    except ValueError:
        return None


def find_date_order(cells: Iterable[Cell], on_date: date | None = None) -> str | None:
    """Find whether a column writes the day or the month first.

    Parameters
    ----------
    on_date
        The day of the lesson, where known: an order that gives this day is taken.

    Returns
    -------
    ``dmy`` or ``mdy``; ``auto`` where it does not matter (no such dates, or points, which part day first);
    None when both are possible and nothing decides.
    """
    texts = {" ".join(cell.split()) for cell in cells if isinstance(cell, str)}
    dates = [match for text in texts if (match := re.match(rf"{_DATE.pattern}(?=$|[T ,])", text))]
    dates = [match for match in dates if len(match["a"]) <= 2 and match["sep"] != "."]
    if not dates:
        return "auto"
    if any(int(match["a"]) > 12 for match in dates):
        return "dmy"
    if any(int(match["b"]) > 12 for match in dates):
        return "mdy"
    if all(match["a"].zfill(2) == match["b"].zfill(2) for match in dates):
        return "dmy"
    for order in ("dmy", "mdy"):
        if on_date is not None and any(_parse_date(match[0], order) == on_date for match in dates):
            return order
    return None


def parse_time_of_day_s(text: str) -> float | None:
    """Seconds after midnight of a plain ``HH:MM:SS.ss``; None when the text is no such time. Made for long columns."""
    parts = text.strip().replace(",", ".").split(":")
    if len(parts) != 3:
        return None
    try:
        hour, minute, second = int(parts[0]), int(parts[1]), float(parts[2])
    except ValueError:
        return None
    if not (0 <= hour < 24 and 0 <= minute < 60 and 0 <= second < 60):
        return None
    return hour * 3600.0 + minute * 60.0 + second


def compute_moment(on: date, seconds: float) -> datetime:
    """Compute the naive moment some seconds after midnight, to the microsecond."""
    return datetime.combine(on, time(0)) + timedelta(seconds=round(seconds, 6))
