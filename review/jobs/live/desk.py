"""What all parts of following a lesson share: the library, the lesson, whom to tell, what has to be matched anew."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from datetime import date, datetime, timedelta

from review.errors import MachineError
from review.jobs.live.events import Noted, Tell
from review.lesson import Arrival, Clip, LiveLesson, Said, Shot
from review.library import Library

DAY = timedelta(hours=24)
LATE = timedelta(seconds=5)
"""A moment comes out too late by the quickest delivery (clocks.py): so long after a lesson's end it may be of it."""
_FAILURE = "failure"


@dataclass
class Desk:
    """One lesson being followed; ``live`` is the lesson that goes on, earlier ones of the day still get late files.

    ``to_match`` are lessons with something new in them, ``new_rows`` and ``new_clips`` what that is, by id.
    ``asked_days`` are other days than the lesson's from which rows wait until the coach says whose they are.
    """

    library: Library
    live: LiveLesson
    tell: Tell
    now: Callable[[], datetime] = datetime.now
    to_match: set[str] = field(default_factory=set)
    new_rows: set[str] = field(default_factory=set)
    new_clips: set[str] = field(default_factory=set)
    asked_days: list[date] = field(default_factory=list)
    _told: set[str] = field(default_factory=set)

    def reload(self) -> LiveLesson:
        """Read the lesson anew: another run may have moved swings out of it."""
        mine = (live for live in self.library.live_lessons() if live.lesson_id == self.live.lesson_id)
        self.live = next(mine, self.live)
        return self.live

    def lessons_of_the_day(self) -> tuple[LiveLesson, ...]:
        """The lessons that files arriving now may belong to, in order."""
        return tuple(
            live
            for live in self.library.live_lessons()
            if live.lesson_id == self.live.lesson_id or live.began_at > self.live.began_at - DAY
        )

    def find_lesson_at(self, at: datetime, early: timedelta, late: timedelta) -> LiveLesson | None:
        """The lesson a moment of this computer's clock belongs to; at its edges the one that goes on comes first.

        Where none holds it: one that begins up to ``early`` after it, or ended up to ``late`` before it.
        """
        lives = sorted(self.lessons_of_the_day(), key=lambda live: live.lesson_id != self.live.lesson_id)
        exact = next((live for live in lives if live.holds(at)), None)
        near = (live for live in lives if live.holds(at + early) or live.holds(at - late))
        return exact or next(near, None)

    def arrived_clips(self) -> Iterator[tuple[Clip, Arrival]]:
        """Clips of the day with their arrival, in order of arrival."""
        for live in self.lessons_of_the_day():
            clips = {clip.id: clip for clip in self.library.clips(live.lesson_id)}
            yield from ((clips[a.item], a) for a in self.library.arrivals(live.lesson_id) if a.item in clips)

    def arrived_rows(self) -> Iterator[tuple[Shot, Arrival]]:
        """Rows of the day with their arrival, in order of arrival."""
        for live in self.lessons_of_the_day():
            shots = {shot.id: shot for shot in self.library.shots(live.lesson_id)}
            yield from ((shots[a.item], a) for a in self.library.arrivals(live.lesson_id) if a.item in shots)

    def answered_days(self) -> dict[date, bool]:
        """Other days of which the coach said whether their rows are of this lesson."""
        said = self.library.said(self.live.lesson_id)
        return {date.fromisoformat(one.item): one.value == "yes" for one in said if one.what == "day"}

    def answer_day(self, is_yes: bool) -> None:
        """Keep whether the rows of the day that was asked first are of this lesson."""
        value = "yes" if is_yes else "no"
        self.library.say(self.live.lesson_id, [Said(self.asked_days[0].isoformat(), "day", value)])
        del self.asked_days[0]

    def note(self, text: str) -> None:
        """Tell the coach something."""
        self.tell(Noted(text))

    def note_once(self, text: str, about: str = "") -> None:
        """Tell the coach something that would else be told again and again."""
        if (about or text) not in self._told:
            self._told.add(about or text)
            self.note(text)

    def note_failure(self, error: MachineError) -> None:
        """Tell the coach once that the machine fails, until it works again (``works_again``)."""
        self.note_once(
            f"{error} Nothing is lost: clips stay in their folder, rows in their table, and all is taken in as soon as "
            "it works again.",
            about=_FAILURE,
        )

    def works_again(self) -> None:
        """Let the next failure be told anew."""
        self._told.discard(_FAILURE)
