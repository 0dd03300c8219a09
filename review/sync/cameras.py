"""Several cameras of one lesson put on one clock, before their clips are put together."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

from review.sync.chance import count_pairs
from review.sync.clock import Clock
from review.sync.moments import ClipMoment, find_doubled_cameras
from review.sync.offset import find_offset
from review.sync.windows import SILENT_BUT_STRUCK, build_windows

_FEWEST_STRIKES = 3


@dataclass(frozen=True)
class AlignedCameras:
    """Moments of all clips on the clock of ``reference``; ``clocks`` of the cameras whose clocks differ from it.

    A clock's "device" is the reference. ``notes`` are for the coach.
    """

    moments: tuple[ClipMoment, ...]
    reference: str
    clocks: dict[str, Clock]
    notes: tuple[str, ...]


def align_cameras(moments: Sequence[ClipMoment]) -> AlignedCameras:
    """Put the clips of all cameras on the clock of the one that heard most strikes.

    Notes
    -----
    Clocks that agree within their rounding are left alone, and so are those of which nothing surer can be said: a
    camera's clock is moved only where the strikes of both agree elsewhere, no more by chance than clips and rows may.
    """
    names = sorted({m.camera for m in moments})
    heard = {name: [m for m in moments if m.camera == name and m.strike_clock_s is not None] for name in names}
    doubled = find_doubled_cameras(moments)
    notes = [
        f"Two cameras are called {name!r}: their clips overlap. Give each a name of its own ([[camera]] in the lesson "
        "file); until then their clips are put together by time."
        for name in sorted(doubled)
    ]
    if len(names) < 2:
        return AlignedCameras(tuple(moments), names[0] if names else "", {}, tuple(notes))
    reference = max(names, key=lambda name: len(heard[name]))
    clocks: dict[str, Clock] = {}
    if len(heard[reference]) >= _FEWEST_STRIKES:
        theirs = build_windows([(m,) for m in heard[reference]], SILENT_BUT_STRUCK).likeliest()
        for name in names:
            if name == reference or len(heard[name]) < _FEWEST_STRIKES:
                continue
            windows = build_windows([(m,) for m in heard[name]], SILENT_BUT_STRUCK)
            found = find_offset(windows, theirs)
            as_they_are = count_pairs(windows.likeliest(), theirs, 0.0)
            if found is not None and found.is_sure and found.n_agree > as_they_are + 1:
                clocks[name] = found.clock
                notes.append(_say_difference(name, reference, found.clock.offset_s))
    return AlignedCameras(tuple(_shift(m, clocks.get(m.camera)) for m in moments), reference, clocks, tuple(notes))


def _say_difference(name: str, reference: str, offset_s: float) -> str:
    ahead = "ahead of" if offset_s > 0 else "behind"
    return (
        f"The clock of camera {name!r} runs {abs(offset_s):.1f} s {ahead} that of {reference!r}; "
        "its clips were put beside the others by their strikes."
    )


def _shift(moment: ClipMoment, clock: Clock | None) -> ClipMoment:
    if clock is None:
        return moment

    def move(at: float | None) -> float | None:
        return None if at is None else clock.to_device(at)

    return replace(
        moment,
        strike_clock_s=move(moment.strike_clock_s),
        start_clock_s=move(moment.start_clock_s),
        end_clock_s=move(moment.end_clock_s),
        other_strikes=tuple((clock.to_device(t), p) for t, p in moment.other_strikes),
    )
