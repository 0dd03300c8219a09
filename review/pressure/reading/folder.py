"""A folder of pressure files, one for each shot, as one record."""

import hashlib
from collections.abc import Callable, Sequence
from dataclasses import replace
from datetime import datetime, time
from itertools import pairwise
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.reading.shot_starts import number_files
from review.pressure.reading.times import NEAR_ZERO_S, NO_CLOCK
from review.pressure.record import BETWEEN_SHOTS_S, PressureRecord, ShotStart

_TABLES = {".csv", ".tsv", ".txt", ".dat", ".asc", ".xlsx", ".xlsm", ".ods", ".json", ".c3d"}
"""Ends of names; what else lies in a folder (of the system, of a picture) is passed over and told."""


def read_trace_folder(folder: Path, read: Callable[[Path], PressureRecord]) -> PressureRecord:
    """Read every file of a folder and put them in the order of their clocks; what is no table is passed over.

    Files without a clock are the record's ``shots``, in the order of the numbers in their names or their columns.

    Raises
    ------
    BadInputError
        There is no file, one cannot be read, some tell a clock and some none, names do not tell the order where it is
        needed, two overlap in time, or they measure different things.
    MachineError
        A file may not be read.
    """
    there = sorted(path for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    files = [path for path in there if path.suffix.lower() in _TABLES]
    if not files:
        raise BadInputError(f"{folder.name}: expected one pressure file for each shot, found none.")
    records = [read(path) for path in files]
    clocks = [one.started_at for one in records if one.started_at is not None]
    is_clock = len(clocks) == len(records) and not _begin_at_zero(clocks)
    if is_clock:
        records.sort(key=lambda one: str(one.started_at))
        starts = [(at - min(clocks)).total_seconds() for at in sorted(clocks)]
        shots: tuple[ShotStart, ...] = ()
    elif clocks and not _begin_at_zero(clocks):
        without = next(one.table for one in records if one.started_at is None)
        raise BadInputError(
            f"{without}: expected the clock of its samples, as {len(clocks)} of {len(records)} files have, found "
            "seconds from an unknown start; export all of them with the time of day"
        )
    else:
        records, starts, shots = _put_behind(records, files, folder.name)
    first = records[0]
    has = [(one.force_n is not None, one.lead_force_n is not None) for one in records]
    for one, columns in zip(records, has, strict=True):
        if columns != has[0]:
            raise BadInputError(f"{one.table}: expected the columns of {first.table}, found others; export them alike")
    for i, (before, after) in enumerate(pairwise(records)):
        if starts[i + 1] <= starts[i] + before.time_s[-1]:
            raise BadInputError(f"{after.table}: expected to begin after {before.table} ends, found that they overlap.")
    digest = hashlib.sha256("".join(one.sha256 for one in records).encode()).hexdigest()
    notes = _tell_files([path.name for path in there if path not in files], records, is_clock)
    order = "clocks" if is_clock else "numbers" if all(shot.number is not None for shot in shots) else "names"
    return replace(
        first,
        table=folder.name,
        sha256=digest,
        started_at=first.started_at if is_clock else None,
        time_s=np.concatenate([one.time_s + start for one, start in zip(records, starts, strict=True)]),
        xy_cm=np.concatenate([one.xy_cm for one in records]),
        force_n=_join([one.force_n for one in records]),
        lead_force_n=_join([one.lead_force_n for one in records]),
        notes=(f"{len(records)} files were put together in the order of their {order}", *notes),
        shots=shots,
    )


def _tell_files(passed_over: list[str], records: Sequence[PressureRecord], is_clock: bool) -> list[str]:
    """What is said of all files once, what is said of some with their names."""
    by_note: dict[str, list[str]] = {}
    for one in records:
        for note in one.notes:
            if is_clock or NO_CLOCK not in note:
                by_note.setdefault(note, []).append(one.table)
    told = [note if len(tables) == len(records) else f"{', '.join(tables)}: {note}" for note, tables in by_note.items()]
    return [*([f"passed over, no table: {', '.join(passed_over)}"] if passed_over else []), *told]


def _begin_at_zero(clocks: Sequence[datetime]) -> bool:
    """Whether several files all begin within a minute of midnight: then their times began with their shots."""
    seconds = [(at - datetime.combine(at, time())).total_seconds() for at in clocks]
    return len(clocks) > 1 and len({at.date() for at in clocks}) == 1 and max(seconds) < NEAR_ZERO_S


def _put_behind(
    records: list[PressureRecord], files: Sequence[Path], folder: str
) -> tuple[list[PressureRecord], list[float], tuple[ShotStart, ...]]:
    """Files without a clock in the order of their shots, where each begins, and the shots in them."""
    each = [one.shots or (ShotStart(path.name, 0.0),) for one, path in zip(records, files, strict=True)]
    numbers = [shot.number for one in each for shot in one]
    if None not in numbers and len(set(numbers)) == len(numbers):
        order = sorted(range(len(files)), key=lambda i: each[i][0].number or 0)
    elif len(numbers) == len(files):
        by_name = number_files([path.stem for path in files], folder)
        order = [i for _, i in by_name]
        for number, i in by_name:
            each[i] = (replace(each[i][0], name=files[i].name, number=number),)
    else:
        order = list(range(len(files)))  # their numbers come twice, or there is none: refused where rows are found
    starts, at_s = [], 0.0
    for i in order:
        starts.append(at_s)
        at_s += float(records[i].time_s[-1]) + BETWEEN_SHOTS_S
    shots = [
        replace(shot, start_s=shot.start_s + start) for i, start in zip(order, starts, strict=True) for shot in each[i]
    ]
    return [records[i] for i in order], starts, tuple(shots)


def _join(parts: list[FloatArray | None]) -> FloatArray | None:
    there = [part for part in parts if part is not None]
    return np.concatenate(there) if len(there) == len(parts) else None
