"""Clips and rows as moments on their clocks, for ``sync``; rows that stand there twice."""

from collections.abc import Collection, Sequence
from datetime import datetime, timedelta

from review.lesson import Clip, Shot
from review.sync import ClipMoment, RowMoment

_EPOCH = datetime(2000, 1, 1)
_FEWEST_ALONGSIDE = 3
_ENOUGH_VALUES = 3


def as_seconds(at: datetime) -> float:
    """Seconds of a naive local time since the beginning of 2000."""
    return (at - _EPOCH).total_seconds()


def as_datetime(seconds: float) -> datetime:
    """Turn seconds back into a time."""
    return _EPOCH + timedelta(seconds=seconds)


def as_moment(clip: Clip) -> ClipMoment:
    """A clip on its camera's clock."""
    at = None if clip.captured_at is None else as_seconds(clip.captured_at)
    strikes = clip.strikes or (() if clip.strike_s is None else ((clip.strike_s, 1.0),))
    on_clock = [] if at is None else [(at + time_s * clip.time_scale, p) for time_s, p in strikes]
    on_clock.sort(key=lambda strike: -strike[1])
    # sounds far apart in a long clip are judged apart, but only one of them is this swing's strike
    total = max(1.0, sum(p for _, p in on_clock))
    on_clock = [(at_s, p / total) for at_s, p in on_clock]
    return ClipMoment(
        clip_id=clip.id,
        camera=clip.camera,
        strike_clock_s=on_clock[0][0] if on_clock else None,
        start_clock_s=None if at is None else at + clip.begin_s * clip.time_scale,
        end_clock_s=None if at is None else at + (clip.begin_s + clip.duration_s) * clip.time_scale,
        resolution_s=clip.captured_resolution_s,
        heard=clip.strike_s is not None,
        strike_certainty=on_clock[0][1] if on_clock else 1.0,
        other_strikes=tuple(on_clock[1:]),
    )


def as_row_moments(shots: Sequence[Shot]) -> tuple[RowMoment, ...]:
    """Rows on their device's clock."""
    names = _name_tables(shots)
    return tuple(
        RowMoment(
            shot.id, None if shot.struck_at is None else as_seconds(shot.struck_at), shot.time_resolution_s, i, name
        )
        for i, (shot, name) in enumerate(zip(shots, names, strict=True))
    )


def split_repeated(shots: Sequence[Shot], named: Collection[str] = ()) -> tuple[tuple[Shot, ...], tuple[Shot, ...]]:
    """Rows to use, and those that say again what another row says: same time and values, as of a table exported twice.

    Without a time the values must be three or more, and of another reading: two balls may well share one number. Of
    rows that say the same, one that the coach ``named`` is used.
    """
    seen: dict[tuple[object, ...], Shot] = {}
    used: list[Shot] = []
    repeated: list[Shot] = []
    for shot in sorted(shots, key=lambda shot: shot.id not in named):
        key = (shot.struck_at, shot.club, tuple(sorted(shot.values.items())))
        first = seen.setdefault(key, shot)
        is_telling = shot.struck_at is not None or (
            len(shot.values) >= _ENOUGH_VALUES and _reading(first) != _reading(shot)
        )
        (repeated if first is not shot and is_telling else used).append(shot)
    in_order = {shot.id: i for i, shot in enumerate(shots)}
    used.sort(key=lambda shot: in_order[shot.id])
    return tuple(used), tuple(repeated)


def _reading(shot: Shot) -> str:
    """Which content of which file a row was read from: the first part of its id."""
    return shot.id.rpartition("-")[0]


def _name_tables(shots: Sequence[Shot]) -> list[str]:
    """Name the table of each row; a file of the same name whose times run alongside is another device's."""
    parts: dict[tuple[str, str], list[datetime]] = {}
    for shot in shots:
        parts.setdefault((shot.table, _reading(shot)), [])
        if shot.struck_at is not None:
            parts[shot.table, _reading(shot)].append(shot.struck_at)
    devices: dict[str, list[list[datetime]]] = {}
    names: dict[tuple[str, str], str] = {}
    for (table, reading), times in parts.items():
        known = devices.setdefault(table, [])
        place = next((i for i, other in enumerate(known) if not _run_alongside(times, other)), len(known))
        if place == len(known):
            known.append([])
        known[place] += times
        names[table, reading] = table if place == 0 else f"{table} ({place + 1})"
    return [names[shot.table, _reading(shot)] for shot in shots]


def _run_alongside(a: Sequence[datetime], b: Sequence[datetime]) -> bool:
    if not a or not b:
        return False
    inside = sum(min(b) < at < max(b) for at in a), sum(min(a) < at < max(a) for at in b)
    # a device may add a single row late
    return min(len(a), len(b)) >= _FEWEST_ALONGSIDE and max(inside) >= _FEWEST_ALONGSIDE
