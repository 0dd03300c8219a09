"""A folder of pressure files, one for each shot, as one record."""

import hashlib
from collections.abc import Callable
from dataclasses import replace
from itertools import pairwise
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.record import PressureRecord


def read_trace_folder(folder: Path, read: Callable[[Path], PressureRecord]) -> PressureRecord:
    """Read every file of a folder and put them in the order of their clocks; hidden files are passed over.

    Raises
    ------
    BadInputError
        There is no file, one cannot be read or tells no clock, two overlap in time, or they measure different things.
    MachineError
        A file may not be read.
    """
    files = sorted(path for path in folder.iterdir() if path.is_file() and not path.name.startswith("."))
    if not files:
        raise BadInputError(f"{folder.name}: expected one pressure file for each shot, found none.")
    records = [read(path) for path in files]
    for one in records:
        if one.started_at is None:
            raise BadInputError(
                f"{one.table}: one of several files needs the clock of its samples, found seconds from an unknown "
                "start; export them with the time of day"
            )
    records.sort(key=lambda one: str(one.started_at))
    first = records[0]
    assert first.started_at is not None
    has = [(one.force_n is not None, one.lead_force_n is not None) for one in records]
    for one, columns in zip(records, has, strict=True):
        if columns != has[0]:
            raise BadInputError(f"{one.table}: expected the columns of {first.table}, found others; export them alike")
    starts = [(one.started_at - first.started_at).total_seconds() for one in records if one.started_at is not None]
    time_s = np.concatenate([one.time_s + start for one, start in zip(records, starts, strict=True)])
    for i, (before, after) in enumerate(pairwise(records)):
        if starts[i + 1] <= starts[i] + before.time_s[-1]:
            raise BadInputError(f"{after.table}: expected to begin after {before.table} ends, found that they overlap.")
    digest = hashlib.sha256("".join(one.sha256 for one in records).encode()).hexdigest()
    notes = dict.fromkeys(note for one in records for note in one.notes)
    return replace(
        first,
        table=folder.name,
        sha256=digest,
        time_s=time_s,
        xy_cm=np.concatenate([one.xy_cm for one in records]),
        force_n=_join([one.force_n for one in records]),
        lead_force_n=_join([one.lead_force_n for one in records]),
        notes=(f"{len(records)} files were put together in the order of their clocks", *notes),
    )


def _join(parts: list[FloatArray | None]) -> FloatArray | None:
    there = [part for part in parts if part is not None]
    return np.concatenate(there) if len(there) == len(parts) else None
