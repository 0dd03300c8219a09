"""What the columns of a table mean: a mapping that the coach keeps, in a small TOML form of our own."""

import json
import math
import os
import tomllib
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from review.errors import BadInputError, MachineError

IGNORE = "ignore"
_DECIMALS = ("auto", ".", ",")
_DELIMITERS = ("auto", ",", ";", "\t", "|")
_DATE_ORDERS = ("auto", "ymd", "dmy", "mdy")
_KEYS = (
    "name",
    "decimal",
    "delimiter",
    "date_order",
    "time_format",
    "header_row",
    "absent",
    "flipped",
    "columns",
    "units",
    "clubs",
    "repeatability",
    "cell_cm",
)


@dataclass(frozen=True)
class ColumnMapping:
    """What each column of a device's table means.

    ``columns`` maps a header to the name of a measure (which carries its unit) or to a role such as ``time``;
    ``ignore`` drops a column. ``units`` gives the unit of columns whose table does not say it. ``flipped``
    are the headers whose sign is opposite to the project's. ``decimal`` is ``auto``, ``.`` or ``,``;
    ``delimiter`` ``auto``, ``,``, ``;``, a tab or ``|``; ``date_order`` ``auto``, ``ymd``, ``dmy`` or ``mdy``;
    ``time_format`` a strptime format or empty; ``header_row`` the header's line from 1, None to find it;
    ``absent`` the words that mean an empty cell. ``clubs`` maps a club as the device writes it to the name in the
    coach's bag. ``repeatability`` is how far one reading of the device errs (one standard deviation), by measure.
    ``cell_cm`` is width and depth of a cell, where the table is of a grid.
    """

    name: str = ""
    columns: dict[str, str] = field(default_factory=dict)
    units: dict[str, str] = field(default_factory=dict)
    flipped: frozenset[str] = frozenset()
    date_order: str = "auto"
    time_format: str = ""
    decimal: str = "auto"
    delimiter: str = "auto"
    header_row: int | None = None
    absent: tuple[str, ...] = ()
    clubs: dict[str, str] = field(default_factory=dict)
    repeatability: dict[str, float] = field(default_factory=dict)
    cell_cm: tuple[float, float] | None = None

    def __post_init__(self) -> None:
        _check_choice("decimal", self.decimal, _DECIMALS)
        _check_choice("delimiter", self.delimiter, _DELIMITERS)
        _check_choice("date_order", self.date_order, _DATE_ORDERS)
        if self.header_row is not None and self.header_row < 1:
            raise BadInputError(f"column mapping: header_row counts lines from 1, found {self.header_row}")
        for key, headers in (("units", set(self.units)), ("flipped", set(self.flipped))):
            strangers = sorted(headers - set(self.columns))
            if strangers:
                raise BadInputError(
                    f"column mapping: {key} names {_quote(strangers)}, which columns does not have; "
                    "write the header the same in both"
                )
        for name, sd in self.repeatability.items():
            if not 0 < sd < math.inf:
                raise BadInputError(
                    f"column mapping: repeatability of {name} must be above 0, found {sd}; leave it out when not known"
                )

        if self.cell_cm is not None and not all(0 < side < math.inf for side in self.cell_cm):
            raise BadInputError(f"column mapping: cell_cm must be above 0, found {self.cell_cm}")

    def check_names(self, known: Collection[str]) -> None:
        """Check that every column is mapped to one of ``known``.

        Raises
        ------
        BadInputError
            A name is not known; the message lists those that are.
        """
        for header, name in self.columns.items():
            if name not in known:
                raise BadInputError(
                    f"column mapping: expected a known measure for {header!r}, found {name!r}; "
                    f"known are {', '.join(known)}"
                )


def _quote(texts: Collection[str]) -> str:
    return ", ".join(repr(text) for text in texts)


def _check_choice(key: str, value: str, choices: tuple[str, ...]) -> None:
    if value not in choices:
        raise BadInputError(f"column mapping: {key} must be one of {_quote(choices)}, found {value!r}")


def read_mapping_file(path: Path, known: Collection[str]) -> ColumnMapping:
    """Read a column mapping whose columns are mapped to names in ``known``.

    Raises
    ------
    BadInputError
        The file is missing, is no TOML, or has keys, values or names that are not known.
    MachineError
        The file may not be read.
    """
    try:
        data = tomllib.loads(path.read_text(encoding="utf-8-sig"))
    except (FileNotFoundError, IsADirectoryError, NotADirectoryError) as error:
        raise BadInputError(f"{path.name}: expected a column mapping, found no such file; check the name") from error
    except (UnicodeDecodeError, tomllib.TOMLDecodeError) as error:
        raise BadInputError(f"{path.name}: expected a column mapping as TOML, found {error}; correct it") from error
    except OSError as error:
        raise MachineError(f"{path.name}: the column mapping could not be read ({error.strerror})") from error
    try:
        mapping = _build(data)
        mapping.check_names(known)
    except BadInputError as error:
        raise BadInputError(f"{path.name}: {error}") from error
    return mapping


def _build(data: dict[str, Any]) -> ColumnMapping:
    unknown = sorted(set(data) - set(_KEYS))
    if unknown:
        raise BadInputError(f"column mapping: unknown key {_quote(unknown)}; known are {', '.join(_KEYS)}")
    texts = {key: data[key] for key in ("name", "decimal", "delimiter", "date_order", "time_format") if key in data}
    for key, value in texts.items():
        if not isinstance(value, str):
            raise BadInputError(f"column mapping: {key} must be text, found {value!r}")
    row = data.get("header_row")
    if row is not None and (not isinstance(row, int) or isinstance(row, bool)):
        raise BadInputError(f"column mapping: header_row must be a line number, found {row!r}")
    return ColumnMapping(
        columns=_text_table(data, "columns"),
        units=_text_table(data, "units"),
        clubs=_text_table(data, "clubs"),
        repeatability=_number_table(data, "repeatability"),
        flipped=frozenset(_text_list(data, "flipped")),
        header_row=row,
        cell_cm=_cell(data),
        absent=tuple(_text_list(data, "absent")),
        **texts,
    )


def _text_table(data: dict[str, Any], key: str) -> dict[str, str]:
    table = data.get(key, {})
    if not isinstance(table, dict) or not all(isinstance(value, str) for value in table.values()):
        raise BadInputError(f'column mapping: [{key}] must have lines of the form "header" = "text"')
    return dict(table)


def _number_table(data: dict[str, Any], key: str) -> dict[str, float]:
    table = data.get(key, {})
    if not isinstance(table, dict) or not all(type(value) in (int, float) for value in table.values()):
        raise BadInputError(f"column mapping: [{key}] must have lines of the form measure = 0.5")
    return {name: float(value) for name, value in table.items()}


def _text_list(data: dict[str, Any], key: str) -> list[str]:
    values = data.get(key, [])
    if not isinstance(values, list) or not all(isinstance(value, str) for value in values):
        raise BadInputError(f'column mapping: {key} must be a list of texts such as ["a", "b"]')
    return list(values)


def _cell(data: dict[str, Any]) -> tuple[float, float] | None:
    sides = data.get("cell_cm")
    if sides is None:
        return None
    if not isinstance(sides, list) or len(sides) != 2 or not all(type(side) in (int, float) for side in sides):
        raise BadInputError(f"column mapping: cell_cm must be width and depth such as [1.0, 1.5], found {sides!r}")
    return float(sides[0]), float(sides[1])


def _toml_text(text: str) -> str:
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")


def write_mapping_file(path: Path, mapping: ColumnMapping) -> None:
    """Write a column mapping; an earlier file is replaced in one step or stays as it is.

    Raises
    ------
    MachineError
        The folder is missing or may not be written to, or the disk is full.
    """
    lines = [f"{key} = {_toml_text(getattr(mapping, key))}" for key in _KEYS[:5]]
    if mapping.header_row is not None:
        lines.append(f"header_row = {mapping.header_row}")
    if mapping.cell_cm is not None:
        lines.append(f"cell_cm = [{mapping.cell_cm[0]!r}, {mapping.cell_cm[1]!r}]")
    lines.append(f"absent = [{', '.join(_toml_text(word) for word in mapping.absent)}]")
    lines.append(f"flipped = [{', '.join(_toml_text(header) for header in sorted(mapping.flipped))}]")
    for key, table in (("columns", mapping.columns), ("units", mapping.units), ("clubs", mapping.clubs)):
        if table or key != "clubs":
            lines += ["", f"[{key}]", *(f"{_toml_text(left)} = {_toml_text(text)}" for left, text in table.items())]
    if mapping.repeatability:
        lines += ["", "[repeatability]", *(f"{name} = {sd!r}" for name, sd in mapping.repeatability.items())]
    beside = path.with_name(f".{path.name}.{os.getpid()}.part")
    try:
        try:
            beside.write_text("\n".join(lines) + "\n", encoding="utf-8", newline="\n")
            os.replace(beside, path)
        finally:
            beside.unlink(missing_ok=True)
    except OSError as error:
        raise MachineError(f"{path.name}: the column mapping could not be written ({error.strerror})") from error
