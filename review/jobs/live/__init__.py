"""A lesson as it happens: watching, taking in, matching anew, measuring behind, and the coach's keys.

``begin_lesson`` says which lesson to follow, ``LiveSession`` follows it and tells what happens as events; its ``coach``
does what a key does.
"""

from review.jobs.live.before import EarlierWords, LiveBefore, list_words, look_before
from review.jobs.live.beginning import LiveRequest, begin_lesson, is_going_on, may_measure, name_cameras
from review.jobs.live.coach import Coach
from review.jobs.live.events import (
    Asked,
    BatchStarted,
    ClipArrived,
    Event,
    Filed,
    LessonBegan,
    LessonEnded,
    Measured,
    Noted,
    Paired,
    Progressed,
    RowArrived,
    Tell,
)
from review.jobs.live.one_run import is_asked_to_leave, only_run
from review.jobs.live.session import LiveSession
from review.jobs.live.work_queue import WorkQueue

__all__ = [
    "Asked",
    "BatchStarted",
    "ClipArrived",
    "Coach",
    "EarlierWords",
    "Event",
    "Filed",
    "LessonBegan",
    "LessonEnded",
    "LiveBefore",
    "LiveRequest",
    "LiveSession",
    "Measured",
    "Noted",
    "Paired",
    "Progressed",
    "RowArrived",
    "Tell",
    "WorkQueue",
    "begin_lesson",
    "is_asked_to_leave",
    "is_going_on",
    "list_words",
    "look_before",
    "may_measure",
    "name_cameras",
    "only_run",
]
