"""Which clip is which shot: clocks, offsets, gaps."""

from review.sync.matching import SURE, Matching, Pairing, Question, match_by_clock, match_by_order
from review.sync.moments import ClipMoment, Group, RowMoment, group_clips

__all__ = [
    "SURE",
    "ClipMoment",
    "Group",
    "Matching",
    "Pairing",
    "Question",
    "RowMoment",
    "group_clips",
    "match_by_clock",
    "match_by_order",
]
