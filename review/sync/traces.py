"""The clock of a pressure trace against the device's, where they are two."""

import numpy as np
from scipy.signal import find_peaks

from review.lesson import FloatArray
from review.pressure import PressureRecord, compute_speed, find_pieces
from review.sync.clock import Clock
from review.sync.offset import find_offset, find_pairs
from review.sync.windows import Intervals, Windows

_EVENT_S = 0.5
_EDGE_S = 0.05
_APART_S = 4.0
_FEWEST = 4


def find_trace_clock(record: PressureRecord, started_s: float, rows: Intervals) -> Clock | None:
    """Find how the trace's clock stands to the device's; None where they agree as they are, or nothing is sure.

    Parameters
    ----------
    record : the trace of the whole lesson.
    started_s : its first sample on its own clock, on the scale of ``rows``.
    rows : when the device's rows were struck, on the device's clock.

    Returns
    -------
    The clock with the trace as "camera": ``to_camera_s`` gives the trace's time of the device's.

    Notes
    -----
    The event of a swing is the fastest move of the centre of pressure, taken for impact to within half a second. It
    comes a little before, so an offset found is wrong by that much: a clock that may be the device's own is left alone,
    and only one that is off by more than its events can be is moved. Recordings with pauses have one event in each
    piece, others wherever the pressure moves at half its usual fastest.
    """
    events = find_events(record) + started_s
    if min(len(events), int(np.isfinite(rows.low_s).sum())) < _FEWEST:
        return None
    near = np.arange(len(events)), events - _EVENT_S, events + _EVENT_S
    found = find_offset(Windows(*near, np.ones(len(events)), len(events)), rows)
    as_it_is = len(find_pairs(Intervals(near[1], near[2]), rows, Clock(0.0)))
    if found is None or not found.is_sure or found.n_agree <= as_it_is + 1:
        return None
    return found.clock


def find_events(record: PressureRecord) -> FloatArray:
    """Times of the fastest moves of the centre of pressure, one for each swing, seconds after the first sample."""
    if len(record.time_s) < 3:
        return np.zeros(0)
    speed = _compute_speed(record)
    pieces = [piece for piece in find_pieces(record) if piece.stop - piece.start > 2]
    if len(pieces) >= _FEWEST:
        moved = [piece for piece in pieces if speed[piece].any()]
        fastest = [piece.start + int(np.argmax(speed[piece])) for piece in moved]
    else:
        usual = float(np.quantile(speed, 0.98))
        apart = max(1, int(_APART_S / record.step_s))
        fastest = find_peaks(speed, height=usual / 2, distance=apart)[0].tolist()
    return np.asarray(record.time_s[fastest], dtype=np.float64)


def _compute_speed(record: PressureRecord) -> FloatArray:
    """(n,) cm/s; 0 where too few samples around are there, and at the edges of pieces."""
    speed = np.zeros(len(record.time_s))
    n = max(1, int(_EDGE_S / record.step_s))
    for piece in find_pieces(record):
        if piece.stop - piece.start > max(n + 1, 2):
            speed[piece] = np.nan_to_num(compute_speed(record.time_s[piece], record.xy_cm[piece]))
            # what was smoothed over the edge is no move
            speed[piece.start : piece.start + n] = 0.0
            speed[piece.stop - n : piece.stop] = 0.0
    return speed
