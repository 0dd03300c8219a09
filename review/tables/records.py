"""Records in JSON: a list of objects, or an object that holds one such list."""

import json
from collections.abc import Sequence
from typing import Any

from review.errors import BadInputError
from review.tables.cells import Cell, as_cell
from review.tables.decoding import decode_text


class _TwiceError(ValueError):
    pass


def read_records(content: bytes, name: str) -> list[tuple[int, list[Cell]]] | None:
    """Read JSON records as rows; None when the content is no JSON at all.

    Parameters
    ----------
    content
        The file. An object inside a record is laid flat, its names joined with a point (``ball.speed``); what lies
        deeper, and lists, are kept as text.

    Returns
    -------
    First the names as row 0, then the records counted from 1.

    Raises
    ------
    BadInputError
        JSON that is cut short, names a value twice, or holds no records or more than one list of them.
    """
    if content.lstrip(b"\xef\xbb\xbf\xff\xfe\x00 \t\r\n")[:1] not in (b"{", b"["):
        return None
    text = decode_text(content, name).lstrip("\ufeff")
    try:
        data = json.loads(text, object_pairs_hook=_once, parse_constant=str)
    except _TwiceError as error:
        raise BadInputError(
            f"{name}: expected every name once in a record, found {str(error)!r} twice; export the records again"
        ) from error
    except RecursionError as error:
        raise BadInputError(
            f"{name}: expected records as JSON, one object a shot, found brackets inside each other without end; "
            "the file is damaged or no table, export it again"
        ) from error
    except ValueError as error:
        if text.lstrip()[:1] == "[" and text.lstrip()[1:].lstrip()[:1] not in ("{", "[", "]"):
            return None  # a header such as [mph]
        # what Python says of a number of thousands of digits is for programmers
        found = str(error) if isinstance(error, json.JSONDecodeError) else "a number far too long"
        raise BadInputError(
            f"{name}: expected records as JSON, found {found}; the file is damaged or cut short, export it again"
        ) from error
    records = [_flatten(record) for record in _find_list(data, name)]
    names = list(dict.fromkeys(key for record in records for key in record))
    rows: list[tuple[int, list[Cell]]] = [(0, list(names))]
    rows += [(i, [record.get(key, "") for key in names]) for i, record in enumerate(records, start=1)]
    return rows


def _once(pairs: Sequence[tuple[str, Any]]) -> dict[str, Any]:
    record = dict(pairs)
    if len(record) < len(pairs):
        names = [key for key, _ in pairs]
        raise _TwiceError(next(key for key in names if names.count(key) > 1))
    return record


def _is_records(data: Any) -> bool:
    return isinstance(data, list) and bool(data) and all(isinstance(record, dict) for record in data)


def _find_list(data: Any, name: str) -> list[dict[str, Any]]:
    lists = {"": data} if isinstance(data, list) else data if isinstance(data, dict) else {}
    found = {key: value for key, value in lists.items() if _is_records(value)}
    if len(found) == 1:
        return list(next(iter(found.values())))
    what = f"{len(found)} lists of records ({', '.join(map(repr, found))})" if found else "no list of records"
    raise BadInputError(
        f"{name}: expected JSON with one list of records, one object a shot, found {what}; "
        "export the shots as one list, or as CSV"
    )


def _flatten(record: dict[str, Any]) -> dict[str, Cell]:
    flat: dict[str, Cell] = {}
    for key, value in record.items():
        inner = value.items() if isinstance(value, dict) else [("", value)]
        for inner_key, inner_value in inner:
            is_deep = isinstance(inner_value, dict | list)
            cell = json.dumps(inner_value, ensure_ascii=False) if is_deep else as_cell(inner_value)
            flat[f"{key}.{inner_key}" if isinstance(value, dict) else key] = cell
    return flat
