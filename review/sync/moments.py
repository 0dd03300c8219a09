"""What the clocks of camera and device say of each swing, and clips that belong together."""

from collections.abc import Sequence
from dataclasses import dataclass

Group = tuple["ClipMoment", ...]


@dataclass(frozen=True)
class ClipMoment:
    """One clip on the camera's clock, seconds.

    ``start_clock_s`` was rounded down to ``resolution_s``, so every time here may be that much too early.
    ``strike_clock_s`` is None where no strike was heard (``heard`` False); all are None without a capture time.
    ``strike_certainty`` 0..1 is how likely that sound is the player's own strike; ``other_strikes`` are further sounds
    it may be, each with its time and probability. All of them together are at most 1.
    """

    clip_id: str
    camera: str
    strike_clock_s: float | None
    start_clock_s: float | None
    end_clock_s: float | None
    resolution_s: float
    heard: bool
    strike_certainty: float = 1.0
    other_strikes: tuple[tuple[float, float], ...] = ()

    @property
    def strikes(self) -> tuple[tuple[float, float], ...]:
        """All sounds that may be the strike, (time, probability) each, the likeliest first."""
        if self.strike_clock_s is None:
            return ()
        return ((self.strike_clock_s, self.strike_certainty), *self.other_strikes)


@dataclass(frozen=True)
class RowMoment:
    """One row on the device's clock, seconds, rounded down to ``resolution_s``; ``order`` counts rows from 0.

    Rows of one ``table`` were stamped by one clock.
    """

    row_id: str
    clock_s: float | None
    resolution_s: float
    order: int
    table: str = ""


def group_clips(moments: Sequence[ClipMoment]) -> tuple[Group, ...]:
    """Put clips of one swing together: other camera, same time as far as the rounded clocks tell; nearest first.

    Where more than a quarter of the clips of a name overlap another of them, two cameras bear that name.

    Returns
    -------
    Groups in order of time; every clip is in exactly one.
    """
    doubled = find_doubled_cameras(moments)
    groups: list[list[ClipMoment]] = [[moment] for moment in moments]
    candidates = []
    for i, a in enumerate(moments):
        for j in range(i + 1, len(moments)):
            gap = _gap_s(a, moments[j], doubled)
            if gap is not None:
                candidates.append((gap, i, j))
    home = {i: group for i, group in enumerate(groups)}
    for _, i, j in sorted(candidates):
        first, second = home[i], home[j]
        if first is second or any(_is_one_camera(a, b, doubled) for a in first for b in second):
            continue
        first += second
        for k, group in home.items():
            if group is second:
                home[k] = first
        second.clear()
    filled = [tuple(sorted(group, key=lambda m: m.camera)) for group in groups if group]
    return tuple(sorted(filled, key=lambda group: (_begin(group) is None, _begin(group) or 0.0)))


def find_doubled_cameras(moments: Sequence[ClipMoment]) -> frozenset[str]:
    """Names that two cameras bear: no camera films two clips at once, but one whose clock was set back seems to."""
    doubled = set()
    for camera in {m.camera for m in moments}:
        own = [m for m in moments if m.camera == camera]
        overlapping = sum(any(a is not b and do_overlap(a, b) for b in own) for a in own)
        if overlapping > len(own) / 4:
            doubled.add(camera)
    return frozenset(doubled)


def do_overlap(a: ClipMoment, b: ClipMoment) -> bool:
    """Whether two clips overlap for certain, whatever the rounding of their starts."""
    if a.start_clock_s is None or a.end_clock_s is None or b.start_clock_s is None or b.end_clock_s is None:
        return False
    overlap = min(a.end_clock_s, b.end_clock_s) - max(a.start_clock_s, b.start_clock_s)
    return overlap > max(a.resolution_s, b.resolution_s)


def _begin(group: Group) -> float | None:
    return min((m.start_clock_s for m in group if m.start_clock_s is not None), default=None)


def _is_one_camera(a: ClipMoment, b: ClipMoment, doubled: frozenset[str]) -> bool:
    return a.camera == b.camera and not (a.camera in doubled and do_overlap(a, b))


def _gap_s(a: ClipMoment, b: ClipMoment, doubled: frozenset[str]) -> float | None:
    """How far apart two clips are, None when they cannot show the same swing."""
    if _is_one_camera(a, b, doubled):
        return None
    slack = a.resolution_s + b.resolution_s
    if a.strike_clock_s is not None and b.strike_clock_s is not None:
        gap = min(abs(s - t) for s, _ in a.strikes for t, _ in b.strikes)
        return gap if gap <= slack else None
    if a.start_clock_s is None or a.end_clock_s is None or b.start_clock_s is None or b.end_clock_s is None:
        return None
    if a.heard != b.heard and not do_overlap(a, b):
        return None
    gap = max(a.start_clock_s, b.start_clock_s) - min(a.end_clock_s, b.end_clock_s)
    return abs(a.start_clock_s - b.start_clock_s) if gap <= 0 else None
