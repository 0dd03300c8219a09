"""Writes the folder of data files, all or nothing."""

from collections.abc import Iterable, Sequence
from pathlib import Path

from review.progress import Progress, silent
from review.tables import format_csv
from review.takehome.exports.c3d import write_c3d
from review.takehome.exports.columns import COLUMNS, NumberRow
from review.takehome.exports.dictionary import HEADS, list_dictionary
from review.takehome.exports.parquet import write_long, write_wide
from review.takehome.exports.points import PointsOfClip
from review.takehome.folder import replacing_folder

LONG, WIDE, DICTIONARY = "measures", "swings", "dictionary.csv"


def write_exports(
    rows: Sequence[NumberRow],
    wide: Iterable[Sequence[str | float | None]],
    points: Sequence[PointsOfClip],
    to: Path,
    progress: Progress = silent,
) -> tuple[str, ...]:
    """Write the tables, their dictionary and the points into the folder ``to``; return the names of the files.

    Parameters
    ----------
    rows : the long table.
    wide : lines of the wide table, the heading first.
    points : a C3D file each.
    to : a new or empty folder, or one with an earlier export, which is replaced in one step.

    Raises
    ------
    BadInputError
        ``to`` holds something else.
    MachineError
        The disk is full or not writable.
    """
    total = 3 + len(points)
    progress(0, total)
    with replacing_folder(to, "export") as folder:
        _write(folder / f"{LONG}.csv", [[c.name for c in COLUMNS], *(row.cells() for row in rows)])
        _write(folder / f"{WIDE}.csv", wide)
        _write(folder / DICTIONARY, [HEADS, *list_dictionary(rows)])
        progress(1, total)
        write_long(rows, folder / f"{LONG}.parquet")
        progress(2, total)
        write_wide(rows, folder / f"{WIDE}.parquet")
        progress(3, total)
        for n, one in enumerate(points, start=4):
            write_c3d(one, folder / one.file_name)
            progress(n, total)
        names = tuple(sorted(path.name for path in folder.iterdir() if not path.name.startswith(".")))
    return names


def _write(path: Path, lines: Iterable[Sequence[str | float | None]]) -> None:
    path.write_bytes(format_csv(lines).encode("utf-8"))
