"""A lesson as it happens: watching, taking in, matching anew, measuring behind, and the coach's keys."""

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

__all__ = [
    "Asked",
    "BatchStarted",
    "ClipArrived",
    "Event",
    "Filed",
    "LessonBegan",
    "LessonEnded",
    "Measured",
    "Noted",
    "Paired",
    "Progressed",
    "RowArrived",
    "Tell",
]
