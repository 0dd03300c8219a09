"""Takes the rows of the device's table into the lesson they were struck in: each once, and none from before it."""

from collections.abc import Sequence
from dataclasses import replace
from datetime import timedelta

from review.errors import MachineError
from review.jobs.live.desk import LATE, Desk
from review.jobs.live.events import Noted
from review.jobs.live.filing import Moments, find_device_ahead, place_clips, place_rows
from review.jobs.live.table_watch import TableWatch
from review.jobs.pairing.matching import match_lesson
from review.lesson import Arrival, Shot
from review.shots import merge_rows, row_key
from review.shots.table import NO_SHOT_YET

_EARLY = timedelta(minutes=1)
_EXPORTED = 3
"""So many new rows at once were exported, not written as they were struck."""


class RowIntake:
    """Takes in what a ``TableWatch`` reads."""

    def __init__(self, desk: Desk, watch: TableWatch) -> None:
        self._desk = desk
        self._watch = watch
        self._waiting: Sequence[Shot] | None = None
        self._asked: Sequence[Shot] | None = None
        self._held_on = desk.library.lesson(desk.live.lesson_id).held_on

    def look(self) -> None:
        """Look at the table once and take in what is new in it."""
        rows, notes = self._watch.look()
        for note in notes:
            self._desk.tell(Noted(note, is_until_shot=note.endswith(NO_SHOT_YET)))
        if rows is not None:
            self._waiting = rows
        elif self._asked is not None and not self._desk.asked_days:
            self._waiting, self._asked = self._asked, None
        if self._waiting is None:
            return
        try:
            self._take(self._waiting)
        except MachineError as error:
            self._desk.note_failure(error)
        else:
            self._waiting = None

    def _take(self, read: Sequence[Shot]) -> None:
        desk = self._desk
        live = desk.reload()
        left_out = set(live.rows_before)
        completed: dict[str, tuple[Shot, ...]] = {}
        for other in desk.lessons_of_the_day():
            if other.lesson_id != live.lesson_id:
                there = desk.library.shots(other.lesson_id)
                completed[other.lesson_id] = merge_rows(there, read, left_out).completed
                left_out.update(row_key(shot) for shot in (*there, *completed[other.lesson_id]))
        known = desk.library.shots(live.lesson_id)
        merged = merge_rows(known, read, left_out)
        completed[live.lesson_id] = merged.completed
        self._tell(merged.n_twice, merged.n_gone, has_new=bool(merged.new))
        new, before = self._ask_for_other_days(merged.new, read)
        moments = self._place(new)
        with desk.library.transaction():
            for lesson_id, shots in completed.items():
                for shot in shots:
                    desk.library.update_shot(lesson_id, shot)
            for shot in new:
                home = desk.find_lesson_at(moments.at[shot.id], _EARLY, LATE)
                if home is None:
                    before.add(row_key(shot))
                    continue
                desk.library.add_shots(home.lesson_id, [shot])
                desk.library.note_arrival(home.lesson_id, Arrival(shot.id, desk.now(), str(self._watch.path)))
                desk.to_match.add(home.lesson_id)
                desk.new_rows.add(shot.id)
            if before:
                desk.live = replace(live, rows_before=live.rows_before | before)
                desk.library.set_live_lesson(desk.live)
        for lesson_id, shots in completed.items():
            if shots:
                desk.to_match.add(lesson_id)
                desk.new_rows.update(shot.id for shot in shots)
        if before:
            desk.note(
                f"Rows of {self._watch.path.name} that were struck outside the lesson are left out: {len(before)}. If "
                "they are of this pupil: Ctrl-C, then lesson-review live --pupil NAME --since HH:MM."
            )

    def _ask_for_other_days(self, new: Sequence[Shot], read: Sequence[Shot]) -> tuple[list[Shot], set[str]]:
        """The rows to take now, and the names of those that the coach said are not of this lesson."""
        desk = self._desk
        answers = desk.answered_days()
        taken, left_out = [], set()
        for shot in new:
            day = None if shot.struck_at is None else shot.struck_at.date()
            if day is None or day in (self._held_on, desk.now().date()) or answers.get(day):
                taken.append(shot)
            elif day in answers:
                left_out.add(row_key(shot))
            else:
                self._asked = read
                if day not in desk.asked_days:
                    desk.asked_days.append(day)
                    desk.note(
                        f"Question: the new rows of {self._watch.path.name} are of {day}, the lesson is of "
                        f"{self._held_on}. y: they are of this lesson, the device's date is wrong; n: they are not, "
                        "leave them out."
                    )
        return taken, left_out

    def _place(self, new: Sequence[Shot]) -> Moments:
        desk = self._desk
        now = desk.now()
        arrived = [*desk.arrived_rows(), *((shot, Arrival(shot.id, now)) for shot in new)]
        least_ahead_s = None
        if len(new) >= _EXPORTED and not place_rows(arrived).is_known:
            # written in one go: the arrival says little of when they were struck, the clips more
            arrived_clips = [*desk.arrived_clips()]
            matched = match_lesson([clip for clip, _ in arrived_clips], [shot for shot, _ in arrived], ())
            least_ahead_s = find_device_ahead(place_clips(arrived_clips), matched.clock_offset_s)
        return place_rows(arrived, least_ahead_s)

    def _tell(self, n_twice: int, n_gone: int, has_new: bool) -> None:
        name = self._watch.path.name
        if n_twice:
            self._desk.note_once(
                f"{name} has rows that stand in it twice; each counts once.", about=f"{name} rows twice"
            )
        if n_gone and has_new:
            self._desk.note_once(
                f"{name} was started anew: {n_gone} rows read before are no longer in it. They stay in the lesson, and "
                "the new rows count on from them.",
                about=f"{name} anew",
            )
