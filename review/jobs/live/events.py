"""What happens in a lesson, told to whoever listens: the command line prints it, a window draws it.

Whoever follows a lesson hands over one callable (``Tell``). It is called from the thread that follows the lesson, once
everything the event speaks of is in the library. Swings keep their id; their number may change when an earlier clip
arrives late.
"""

from collections.abc import Callable
from dataclasses import dataclass

from review.lesson import Batch, Clip, Lesson, Measure, Pupil, Shot, Swing
from review.pose import Effort


@dataclass(frozen=True)
class LessonBegan:
    """A lesson began, or goes on where it was (``is_resumed``)."""

    lesson: Lesson
    pupil: Pupil
    is_resumed: bool


@dataclass(frozen=True)
class BatchStarted:
    """A new batch is open; the one before is closed."""

    lesson_id: str
    batch: Batch


@dataclass(frozen=True)
class ClipArrived:
    """A clip is in the library, whole, and can be played; ``swing`` is the one it hangs on."""

    lesson_id: str
    clip: Clip
    swing: Swing


@dataclass(frozen=True)
class RowArrived:
    """The device's table has a row that no clip belongs to yet; ``swing`` has no clip."""

    lesson_id: str
    shot: Shot
    swing: Swing


@dataclass(frozen=True)
class Paired:
    """Clip and row of a swing belong together, newly, otherwise than before, or with what was added to the row.

    ``is_sure`` False: the likeliest row while there is too little to tell; ``shot`` is then not the swing's yet.
    """

    lesson_id: str
    swing: Swing
    shot: Shot
    is_sure: bool = True


@dataclass(frozen=True)
class Filed:
    """A swing is in another batch or of another kind than before, by the coach's word or by clocks known better."""

    lesson_id: str
    swing: Swing


@dataclass(frozen=True)
class Progressed:
    """The body of a swing is being measured: pictures looked at, and in all, of one of its clips."""

    lesson_id: str
    clip_id: str
    effort: Effort
    done: int
    total: int


@dataclass(frozen=True)
class Measured:
    """Body numbers of a swing are in the library."""

    lesson_id: str
    swing: Swing
    measures: tuple[Measure, ...]
    effort: Effort


@dataclass(frozen=True)
class Asked:
    """Do these belong together? Open until answered, or until it becomes clear by itself."""

    lesson_id: str
    swing: Swing
    shot: Shot
    text: str


@dataclass(frozen=True)
class Noted:
    """Something the coach should know; said once.

    ``is_until_shot`` tells that it holds no longer once there is a shot.
    """

    text: str
    is_until_shot: bool = False


@dataclass(frozen=True)
class LessonEnded:
    """The lesson is over; what was filmed before its end still joins it when it arrives."""

    lesson_id: str
    n_swings: int


Event = (
    LessonBegan
    | BatchStarted
    | ClipArrived
    | RowArrived
    | Paired
    | Filed
    | Progressed
    | Measured
    | Asked
    | Noted
    | LessonEnded
)
Tell = Callable[[Event], None]
