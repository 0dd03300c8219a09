"""Searches a long recording for its swings: sound and cheap motion first, the body only where one may be."""

import math
from collections.abc import Callable, Iterator
from concurrent.futures import Future
from functools import partial
from itertools import chain
from pathlib import Path

from review.jobs.measuring.landmarks import TrackOrder, track_clips
from review.jobs.processes import run_apart
from review.lesson import FloatArray
from review.media import Footage, PictureMotion, VideoInfo, join_motion, read_audio_blocks, read_picture_motion
from review.pose import Effort
from review.progress import Progress, silent
from review.swing.search import FoundSwing, choose_candidates, cut_swings, find_bursts, find_hands_through
from review.swing.strike import Strike, find_strikes_in_blocks

LONG_S = 20.0
"""A file longer than this (true seconds) is a recording that may hold several swings; a clip of one lasts 3 to 10 s."""
MAY_BE_ONE_SWING_S = 120.0
"""A file up to this long (true seconds, at the speed that is known) may be one swing slowed down."""

_Heard = tuple[tuple[Strike, ...], bool]

_SOUND = "sound"
_BLOCK_S = 10.0
_RATE_HZ = 15.0
_PART_S = 60.0
_OVERLAP_S = 0.5
_LOOK_BEFORE_S, _LOOK_BEHIND_S = 1.0, 0.8
_LOOK_RATE_HZ = 12.0
_PART_OF_MOTION = 0.6
_TOTAL = 1000


def is_recording(info: VideoInfo, time_scale: float) -> bool:
    """Whether a file is so long that swings are looked for in it."""
    return info.duration_s * time_scale > LONG_S


def search_recording(
    path: Path,
    info: VideoInfo,
    time_scale: float = 1.0,
    progress: Progress = silent,
    limits_s: tuple[float, float] | None = None,
) -> tuple[FoundSwing, ...]:
    """Find every swing of a recording.

    Parameters
    ----------
    path, info : the file and what it is.
    time_scale : true time = presentation time x time_scale.
    progress : may raise ``Cancelled``; nothing is written here.
    limits_s : presentation times between which swings are looked for, None = everywhere.

    Returns
    -------
    The swings in order; none when there is none at this speed.

    Raises
    ------
    BadInputError
        When the file cannot be read to its end.
    """
    begin_s, end_s = limits_s or (0.0, float(info.time_s[-1]))
    searched = Footage(path, begin_s, None if limits_s is None else end_s)

    def report_first(done: int, total: int) -> None:
        progress(round(_PART_OF_MOTION * _TOTAL * done / total), _TOTAL)

    strikes, has_sound, motion = _hear_and_watch(searched, info, time_scale, report_first)
    bursts_s = find_bursts(motion.time_s, motion.energy, time_scale)
    candidates = choose_candidates(bursts_s, strikes, motion.time_s, motion.energy, time_scale)

    orders = {}
    for i, at_s in enumerate(candidates):
        footage = Footage(
            path,
            max(begin_s, at_s - _LOOK_BEFORE_S / time_scale),
            min(at_s + _LOOK_BEHIND_S / time_scale, end_s),
        )
        orders[str(i)] = TrackOrder(footage, Effort.QUICK, time_scale, rate_hz=_LOOK_RATE_HZ)

    def report(done: int, total: int) -> None:
        before = _PART_OF_MOTION * _TOTAL
        progress(round(before + (_TOTAL - before) * done / total), _TOTAL)

    tracks, _ = track_clips(orders, report)
    through = [find_hands_through(track, time_scale) for track in tracks.values()]
    impacts_s = [at_s for at_s in through if at_s is not None]
    progress(_TOTAL, _TOTAL)
    return cut_swings(impacts_s, strikes, begin_s, end_s, has_sound, time_scale)


def _hear_and_watch(
    searched: Footage, info: VideoInfo, time_scale: float, progress: Progress
) -> tuple[tuple[Strike, ...], bool, PictureMotion]:
    """All sharp sounds of a recording, whether it has sound, and its motion; parts are read side by side."""
    parts = list(_split(searched, info.time_s, _PART_S / time_scale, _OVERLAP_S / time_scale))
    tasks: dict[str, Callable[[Progress], _Heard | PictureMotion]] = {_SOUND: partial(_hear, searched, time_scale)}
    tasks |= {str(i): partial(read_picture_motion, part, _RATE_HZ * time_scale) for i, part in enumerate(parts)}
    ended: dict[str, _Heard | PictureMotion] = {}

    def keep(key: str, future: "Future[_Heard | PictureMotion]") -> None:
        ended[key] = future.result()

    run_apart(tasks, dict.fromkeys(tasks, 100), progress, keep)
    heard = ended.pop(_SOUND)
    strikes, has_sound = heard if isinstance(heard, tuple) else ((), False)
    in_order = (ended[str(i)] for i in range(len(parts)))
    return strikes, has_sound, join_motion([m for m in in_order if isinstance(m, PictureMotion)])


def _split(searched: Footage, time_s: FloatArray, part_s: float, overlap_s: float) -> Iterator[Footage]:
    """Parts of a recording of about ``part_s`` and an equal number of pictures, each from a little before its turn."""
    end_s = math.inf if searched.end_s is None else searched.end_s
    inside = time_s[(time_s >= searched.begin_s) & (time_s < end_s)]
    n = max(1, round((inside[-1] - inside[0]) / part_s)) if len(inside) else 1
    cuts = [float(inside[len(inside) * i // n]) for i in range(1, n)]
    begins_s = [searched.begin_s, *(max(searched.begin_s, cut - overlap_s) for cut in cuts)]
    for begin_s, stop_s in zip(begins_s, [*cuts, searched.end_s], strict=True):
        yield Footage(searched.path, begin_s, stop_s)


def _hear(searched: Footage, time_scale: float, progress: Progress) -> _Heard:
    """All sharp sounds of a recording, in order, and whether it has sound."""
    blocks = read_audio_blocks(searched, _BLOCK_S)
    first = next(blocks, None)
    if first is None:
        return (), False
    samples = (block.samples.astype(float) for block in chain([first], blocks))
    return find_strikes_in_blocks(samples, first.rate_hz, first.start_s, time_scale), True
