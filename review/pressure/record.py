"""A pressure table as one record, its gaps, and the piece around one shot."""

import re
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from review.lesson import FloatArray, Trace
from review.tables import ColumnMapping

_GAP_STEPS = 5.0
"""A pause of more than this many usual steps is a gap: a lost sample or two is none, a new shot is."""
_ROW = re.compile(r"\s*(?:row|zeile)[\W_]*(\d+)(?!\d)", re.IGNORECASE)
BETWEEN_SHOTS_S = 60.0
"""Put between two recordings without a clock, so that they stay apart; it means nothing."""


@dataclass(frozen=True)
class ShotStart:
    """Where the recording of one shot begins in a record without a clock.

    ``name`` is what its table or file calls it, ``start_s`` seconds of the record. ``number`` counts the shots; None
    where the name has none.
    """

    name: str
    start_s: float
    number: int | None = None

    @property
    def row(self) -> int | None:
        """The row of the shot table that the coach named it after, as 'row 7'; None where it is not named so."""
        found = _ROW.match(self.name)
        return None if found is None else int(found[1])


@dataclass(frozen=True, eq=False)
class PressureRecord:
    """Path of the centre of pressure over a lesson, in the mat's own axes; gaps between shots are normal.

    ``time_s`` (n,) seconds after the first sample, increasing; ``xy_cm`` (n, 2) centimetres and ``force_n``
    (n,) newtons, NaN where the table has no number; ``force_n`` is None where it has no such column.
    ``lead_force_n`` (n,) is the lead foot's part of it, None where the feet are not measured apart.
    ``started_at`` is the clock of the first sample (naive local time), None where the table or the caller
    does not say. ``shots`` are the recordings of single shots, in order, where they have no clock. ``mapping`` is what
    was used; ``notes`` are for the coach.
    """

    table: str
    sha256: str
    started_at: datetime | None
    time_s: FloatArray
    xy_cm: FloatArray
    force_n: FloatArray | None = None
    lead_force_n: FloatArray | None = None
    mapping: ColumnMapping = ColumnMapping()
    notes: tuple[str, ...] = ()
    shots: tuple[ShotStart, ...] = ()

    def __post_init__(self) -> None:
        n = len(self.time_s)
        if self.time_s.shape != (n,) or self.xy_cm.shape != (n, 2):
            raise ValueError(
                f"a record needs time_s (n,) and xy_cm (n, 2), got {self.time_s.shape} and {self.xy_cm.shape}"
            )
        for name, force in (("force_n", self.force_n), ("lead_force_n", self.lead_force_n)):
            if force is not None and force.shape != (n,):
                raise ValueError(f"{name} must have shape {(n,)}, got {force.shape}")
        if n and (not np.all(np.isfinite(self.time_s)) or not np.all(np.diff(self.time_s) > 0)):
            raise ValueError("the times of a record must be finite and increase")
        if self.shots and self.started_at is not None:
            raise ValueError("the shots of a record that has a clock are found by it")

    @property
    def step_s(self) -> float:
        """The usual time between two samples (their median), NaN with fewer than two samples."""
        return float(np.median(np.diff(self.time_s))) if len(self.time_s) > 1 else float("nan")


def find_pieces(record: PressureRecord) -> tuple[slice, ...]:
    """Find the pieces without a gap, as slices of the record's samples, in order.

    Returns
    -------
    Slices that cover every sample once; a gap is a pause of more than five usual steps.
    """
    n = len(record.time_s)
    if n == 0:
        return ()
    breaks = np.flatnonzero(np.diff(record.time_s) > _GAP_STEPS * record.step_s) + 1
    edges = [0, *breaks.tolist(), n]
    return tuple(slice(first, last) for first, last in zip(edges[:-1], edges[1:], strict=True))


def cut_shots(record: PressureRecord) -> tuple[slice, ...]:
    """The samples of each of ``shots``, in their order, as slices of the record's samples."""
    edges = np.searchsorted(record.time_s, [shot.start_s - BETWEEN_SHOTS_S / 2 for shot in record.shots]).tolist()
    return tuple(slice(first, last) for first, last in zip(edges, [*edges[1:], len(record.time_s)], strict=True))


def cut_trace(
    record: PressureRecord, at: datetime, before_s: float = 3.0, after_s: float = 2.5, id: str = ""
) -> Trace | None:
    """Cut the piece around one shot out of a record.

    Parameters
    ----------
    at
        The strike on the clock of the record (naive local time).
    before_s, after_s
        Seconds to keep before and after it.
    id
        The trace's id; when empty it is made of the table's hash and the first sample's number.

    Returns
    -------
    The samples of one piece without a gap: the one that holds ``at``, else the nearest one inside the
    window. None where fewer than two samples lie there, or the record has no clock.

    Raises
    ------
    ValueError
        The window is empty.
    """
    if before_s < 0 or after_s < 0 or before_s + after_s <= 0:
        raise ValueError(f"the window around a shot must not be empty, got {before_s} s before and {after_s} s after")
    if record.started_at is None:
        return None
    at_s = (at - record.started_at).total_seconds()
    # Half a microsecond: the clock's own resolution must not cut off a sample on the edge.
    low_s, high_s = at_s - before_s - 5e-7, at_s + after_s + 5e-7
    best: tuple[float, slice] | None = None
    for piece in find_pieces(record):
        time_s = record.time_s[piece]
        first, last = np.searchsorted(time_s, [low_s, high_s]) + piece.start
        if last - first < 2:
            continue
        away_s = max(float(time_s[0]) - at_s, at_s - float(time_s[-1]), 0.0)
        if best is None or away_s < best[0]:
            best = away_s, slice(int(first), int(last))
    if best is None:
        return None
    kept = best[1]
    start_s = float(record.time_s[kept.start])
    return Trace(
        id=id or f"{record.sha256[:12]}-{kept.start + 1}",
        started_at=record.started_at + timedelta(seconds=start_s),
        time_s=record.time_s[kept] - start_s,
        xy_cm=record.xy_cm[kept].copy(),
        force_n=None if record.force_n is None else record.force_n[kept].copy(),
        lead_force_n=None if record.lead_force_n is None else record.lead_force_n[kept].copy(),
    )
