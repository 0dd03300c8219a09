"""Which clip is which shot: clocks, offsets, drift, gaps."""

from review.sync.cameras import AlignedCameras, align_cameras
from review.sync.clock import Clock
from review.sync.matching import match_by_clock
from review.sync.moments import ClipMoment, Group, RowMoment, group_clips
from review.sync.ordering import match_by_order
from review.sync.results import SURE, Candidate, ClockStretch, Evidence, Matching, Pairing, Question
from review.sync.tables import match_rows
from review.sync.traces import find_trace_clock
from review.sync.windows import build_row_intervals

__all__ = [
    "SURE",
    "AlignedCameras",
    "Candidate",
    "ClipMoment",
    "Clock",
    "ClockStretch",
    "Evidence",
    "Group",
    "Matching",
    "Pairing",
    "Question",
    "RowMoment",
    "align_cameras",
    "build_row_intervals",
    "find_trace_clock",
    "group_clips",
    "match_by_clock",
    "match_by_order",
    "match_rows",
]
