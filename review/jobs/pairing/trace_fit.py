"""Whether a pressure trace is of this lesson: its clock, its day, how many of its recordings lie beside shots."""

from collections.abc import Sequence
from datetime import datetime, timedelta

from review.jobs.pairing.clock_moments import as_seconds
from review.lesson.words import count
from review.pressure import PressureRecord, cut_trace, find_pieces
from review.sync import Clock

_LATE_S = 3 * 3600.0
"""A trace that begins so shortly after midnight may be of an evening's lesson."""
_LEAST_S = 1.0
"""A shorter piece is no recording of a swing."""
_BEFORE_S, _AFTER_S = 3.0, 2.5
"""What is cut out around a shot."""


def say_misfit(record: PressureRecord, clock: Clock | None, moments: Sequence[datetime]) -> str:
    """Say why a record without recordings of single shots belongs to none of a lesson's swings; '' where it may.

    Parameters
    ----------
    clock : of the trace against the device's, as ``find_trace_clock`` tells it.
    moments : when the swings were, by the device's clock.
    """
    if record.started_at is None:
        return (
            f"{record.table}: expected a time of day, found none; give that of its first sample, first_sample_at in "
            "[pressure_mat] of the lesson file."
        )
    if not moments:
        return ""
    if why := say_other_day(record, moments):
        return why
    if any(cut_trace(record, at + find_late(clock, at), _BEFORE_S, _AFTER_S) for at in moments):
        return ""
    return (
        f"{record.table}: expected samples at the time of the lesson's swings, found {_say_recordings(record)} beside "
        f"{_say_moments(moments, 'swing')}; check that it is of this lesson and this pupil."
    )


def say_other_day(record: PressureRecord, moments: Sequence[datetime]) -> str:
    """Say that a record is of another day than the swings; '' where it is not, or has no clock."""
    if record.started_at is None or not moments or not len(record.time_s):
        return ""
    first = (record.started_at - timedelta(seconds=_LATE_S)).date()
    last = (record.started_at + timedelta(seconds=float(record.time_s[-1]))).date()
    if any(first <= at.date() <= last for at in moments):
        return ""
    return (
        f"{record.table}: expected a trace of the lesson's day, {min(moments).date()}, found one of "
        f"{record.started_at.date()}; check that it is of this lesson, or export it without the date."
    )


def tell_fit(
    record: PressureRecord, clock: Clock | None, moments: Sequence[datetime], shots: Sequence[datetime]
) -> tuple[str, ...]:
    """Say how many recordings lie beside how many shots, and from when to when, where not all fit.

    ``moments`` are all swings', ``shots`` those of them that should have a recording.
    """
    if record.started_at is None or not shots:
        return ()
    lacking = [at for at in shots if cut_trace(record, at + find_late(clock, at), _BEFORE_S, _AFTER_S) is None]
    began = record.started_at
    at_s = [(at + find_late(clock, at) - began).total_seconds() for at in moments]
    spare = [(a, b) for a, b in _find_spans(record) if not any(a - _AFTER_S <= s <= b + _BEFORE_S for s in at_s)]
    if not lacking and not spare:
        return ()
    said = [f"{record.table}: {_say_recordings(record)} beside {_say_moments(shots, 'shot')}"]
    if lacking:
        said.append(f"{count(len(lacking), 'shot')} without one")
    if spare:
        said.append(f"{count(len(spare), 'recording')} of no shot")
    return ("; ".join(said) + ".",)


def find_late(clock: Clock | None, at: datetime) -> timedelta:
    """How much later than the device's the trace's own clock tells a moment."""
    return timedelta(seconds=0.0 if clock is None else clock.to_camera(as_seconds(at)) - as_seconds(at))


def _find_spans(record: PressureRecord) -> list[tuple[float, float]]:
    """First and last second of every recording of the record."""
    spans = [(float(record.time_s[piece][0]), float(record.time_s[piece][-1])) for piece in find_pieces(record)]
    return [(a, b) for a, b in spans if b - a >= _LEAST_S]


def _say_recordings(record: PressureRecord) -> str:
    began = record.started_at or datetime.min
    ended = began + timedelta(seconds=float(record.time_s[-1]))
    return f"{count(len(_find_spans(record)), 'recording')} from {began:%H:%M:%S} to {ended:%H:%M:%S}"


def _say_moments(moments: Sequence[datetime], what: str) -> str:
    return f"{count(len(moments), what)} from {min(moments):%H:%M:%S} to {max(moments):%H:%M:%S}"
