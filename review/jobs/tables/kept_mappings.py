"""The coach's own mappings, kept by name in the library's folder; which of them a table is read with."""

import re
from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

from review import pressure, shots
from review.errors import BadInputError, MachineError
from review.pressure.reading import columns as pressure_columns
from review.shots import columns as shot_columns
from review.shots.columns import count_headers
from review.shots.terms import EXAMPLES
from review.tables import ColumnMapping, read_table

_HEAD_BYTES = 64 * 1024
_NOT_LINES = (b"PK\x03\x04", b"\xd0\xcf\x11\xe0", b"\xff\xfe", b"\xfe\xff", b"{", b"[")
"""How workbooks, two-byte text and records begin: these cannot be cut after some lines."""
_LEAST_SHARE = 0.8
"""Share of a mapping's columns that a table must have to be of its device: some leave columns out."""
_NAME = re.compile(r"[^\W_][\w .\-]{0,59}")


@dataclass(frozen=True)
class TableSort:
    """A sort of table with mappings of its own: where they are kept, how they are read, written and recognised."""

    folder: str
    option: str
    read: Callable[[Path], ColumnMapping]
    write: Callable[[Path, ColumnMapping], None]
    count_known: Callable[[Sequence[str], ColumnMapping | None], int]
    examples: str


SHOT_TABLE = TableSort(
    "mappings", "--mapping", shots.read_mapping, shots.write_mapping, shot_columns.count_known, EXAMPLES
)
PRESSURE_TABLE = TableSort(
    "mappings/pressure",
    "--pressure-mapping",
    pressure.read_mapping,
    pressure.write_mapping,
    pressure_columns.count_known,
    pressure_columns.EXAMPLES,
)


@dataclass(frozen=True)
class Found:
    """The mapping that a table is to be read with, None where there is none; ``notes`` are for the coach."""

    mapping: ColumnMapping | None
    notes: tuple[str, ...] = ()


def keep_mapping(library: Path, name: str, mapping: ColumnMapping, sort: TableSort = SHOT_TABLE) -> Path:
    """Keep a mapping under the coach's name for it; one of that name is replaced. Returns its file.

    Raises
    ------
    BadInputError
        The name cannot be one of a file, or the mapping is not valid.
    MachineError
        The folder may not be written to.
    """
    path = _path(library, name, sort)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise MachineError(f"{path.parent}: the mapping could not be kept ({error.strerror})") from error
    sort.write(path, replace(mapping, name=name))
    return path


def list_mappings(library: Path, sort: TableSort = SHOT_TABLE) -> tuple[str, ...]:
    """Names of the mappings that are kept, in order."""
    return tuple(sorted(path.stem for path in (library / sort.folder).glob("*.toml")))


def locate_mapping(library: Path, said: Path, sort: TableSort = SHOT_TABLE) -> Path:
    """Find the file of the mapping that the coach names: a file, or the name it is kept under.

    Raises
    ------
    BadInputError
        There is no such file and no mapping of that name.
    """
    if said.is_file():
        return said
    if _NAME.fullmatch(str(said)) and _path(library, str(said), sort).is_file():
        return _path(library, str(said), sort)
    kept = ", ".join(list_mappings(library, sort)) or "none yet"
    raise BadInputError(
        f"{said}: expected a column mapping, found no such file and none kept under that name ({kept})."
    )


def find_mapping(library: Path, table: Path, said: Path | None = None, sort: TableSort = SHOT_TABLE) -> Found:
    """Find what a table is to be read with: what the coach says, else the kept mapping whose columns it has.

    Only a mapping of which the table has most columns is taken, of several that with most. A kept file that cannot be
    read is told, not used.

    Raises
    ------
    BadInputError
        What the coach says is no mapping, or several that differ fit equally well.
    """
    if said is not None:
        return Found(sort.read(locate_mapping(library, said, sort)))
    kept, notes = [], []
    for name in list_mappings(library, sort):
        try:
            kept.append((name, sort.read(_path(library, name, sort))))
        except (BadInputError, MachineError) as error:
            notes.append(f"the kept mapping {name!r} was not used: {error}")
    if not kept:
        return Found(None, tuple(notes))
    headers = _read_headers(table, [mapping for _, mapping in kept], sort)
    fitting = []
    for name, mapping in kept:
        n_there = count_headers(headers[_form(mapping)], mapping)
        if n_there and n_there >= _LEAST_SHARE * len(mapping.columns):
            fitting.append((n_there, name, mapping))
    if not fitting:
        return Found(None, tuple(notes))
    most = max(n for n, _, _ in fitting)
    best = [(name, mapping) for n, name, mapping in fitting if n == most]
    name, mapping = best[0]
    if any(replace(other, name="") != replace(mapping, name="") for _, other in best[1:]):
        names = ", ".join(other for other, _ in best)
        raise BadInputError(f"{table.name}: several of your mappings fit this table ({names}); say {sort.option} NAME.")
    return Found(mapping, (*notes, f"{table.name} is read with your mapping {name!r}"))


def _form(mapping: ColumnMapping) -> tuple[str, int | None]:
    """How the mapping says that a table is laid out."""
    return mapping.delimiter, mapping.header_row


def _read_headers(
    table: Path, mappings: Sequence[ColumnMapping], sort: TableSort
) -> dict[tuple[str, int | None], tuple[str, ...]]:
    """The header as each form finds it, with the columns of all mappings known; nothing where there is none.

    Only the head of a long text is read; a workbook, or a text that cannot be cut, whole.
    """
    known = ColumnMapping(columns={header: "ignore" for mapping in mappings for header in mapping.columns})
    try:
        with table.open("rb") as file:
            head = file.read(_HEAD_BYTES)
    except OSError:
        return {_form(mapping): () for mapping in mappings}
    content = head[: head.rfind(b"\n") + 1] if len(head) == _HEAD_BYTES else head
    return {form: _read_header(table, form, known, content, sort) for form in set(map(_form, mappings))}


def _read_header(
    table: Path, form: tuple[str, int | None], known: ColumnMapping, head: bytes, sort: TableSort
) -> tuple[str, ...]:
    for content in (head, None) if head.lstrip().startswith(_NOT_LINES) else (head,):
        try:
            return read_table(table, lambda cells: sort.count_known(cells, known), sort.examples, *form, content).header
        except (BadInputError, MachineError):
            continue
    return ()


def _path(library: Path, name: str, sort: TableSort) -> Path:
    if not _NAME.fullmatch(name) or name.endswith((" ", ".")):
        raise BadInputError(
            f"A mapping's name is up to 60 letters, numbers, spaces, dots and dashes, such as 'bay 2'; found {name!r}."
        )
    return library / sort.folder / f"{name}.toml"
