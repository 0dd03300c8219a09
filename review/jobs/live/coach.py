"""What the coach does with one key while the lesson goes on, and taking the last of it back."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from datetime import datetime

from review.errors import BadInputError, MachineError
from review.jobs.live.beginning import end_lesson
from review.jobs.live.desk import Desk
from review.jobs.live.events import BatchStarted
from review.jobs.live.filing import place_rows
from review.jobs.live.following import Following
from review.jobs.live.taking_back import KeyDone, record_key, take_back
from review.jobs.pairing.rematching import said_pairs
from review.jobs.voices import name_voice, store_spoken
from review.lesson import Batch, Said, Swing, SwingKind, VoiceOf
from review.media import Audio

_UNDO_DEPTH = 20


class Coach:
    """The coach's actions; each is in the library when it returns, and can be taken back."""

    def __init__(self, desk: Desk, following: Following) -> None:
        self._desk = desk
        self._following = following
        self._done: list[KeyDone] = []

    @property
    def _lesson_id(self) -> str:
        return self._desk.live.lesson_id

    @property
    def n_open_questions(self) -> int:
        """Questions that wait for an answer."""
        return len(self._following.open_questions) + len(self._desk.asked_days)

    def start_batch(self) -> Batch:
        """Start a new batch now; what is struck from now on belongs to it. Cue and feel may come later."""
        desk = self._desk
        now = desk.now()
        lesson = desk.library.lesson(self._lesson_id)
        last = lesson.batches[-1]
        batch = Batch(
            f"{lesson.id}-{last.number + 1}",
            last.number + 1,
            self._on_device(now),
            club=last.club,
            target=last.target,
            ball=last.ball,
            is_closed=False,
        )
        with self._key("the new batch"):
            closed = [replace(one, is_closed=True) for one in lesson.batches]
            desk.library.set_batches(lesson.id, [*closed, batch])
            desk.library.say(lesson.id, [Said(batch.id, "begun", now.isoformat())])
        desk.tell(BatchStarted(lesson.id, batch))
        self._match()
        return batch

    def move_last_swing(self, order: int | None = None) -> Swing:
        """Put the last swing, or swing ``order``, into the newest batch; if it is there, into the one before.

        Raises
        ------
        BadInputError
            When there is no such swing, or only one batch.
        """
        swing = self._find_swing(order)
        batches = self._desk.library.lesson(self._lesson_id).batches
        if len(batches) < 2:
            raise BadInputError("There is only one batch so far; start a new one first.")
        newest, before = batches[-1], batches[-2]
        to = before.id if swing.batch_id == newest.id else newest.id
        self._say(swing, "batch", to, f"the batch of swing {swing.order}")
        return self._find_swing(swing.order)

    def set_kind(self, kind: SwingKind, order: int | None = None) -> Swing:
        """Say what the last swing, or swing ``order``, was.

        Raises
        ------
        BadInputError
            When there is no such swing.
        """
        swing = self._find_swing(order)
        self._say(swing, "kind", kind.value, f"what swing {swing.order} was")
        return self._find_swing(swing.order)

    def answer(self, is_yes: bool) -> str:
        """Answer the question asked first (yes: they belong together; no: the swing has no row); return what was done.

        Raises
        ------
        BadInputError
            When nothing is asked.
        """
        if self._desk.asked_days:
            self._desk.answer_day(is_yes)
            return "They are taken in." if is_yes else "They are left out."
        if not self._following.open_questions:
            raise BadInputError("Nothing is asked at the moment.")
        question = self._following.open_questions[0]
        row = question.row_id if is_yes else None
        answered = dict.fromkeys(question.clip_ids, row)
        self._following.match(self._lesson_id, answered)
        self._remember(KeyDone("the answer", answered=answered))
        return "Paired." if is_yes else "Noted: that swing has no row."

    def leave_out(self, reason: str, order: int | None = None) -> Swing:
        """Let the last swing, or swing ``order``, not count, for a reason; '' lets it count again.

        Raises
        ------
        BadInputError
            When there is no such swing.
        """
        swing = self._find_swing(order)
        # what was so is said first, so that taking the key back finds it
        was = [Said(item, "left_out", swing.left_out) for item in swing.items]
        self._desk.library.say(self._lesson_id, was)
        self._say(swing, "left_out", reason.strip(), f"whether swing {swing.order} counts")
        return self._find_swing(swing.order)

    def describe_batch(self, cue: str = "", feel: str = "", batch_id: str = "") -> Batch:
        """Write down the open batch's cue (what was asked for) and feel (what the pupil said), as far as given.

        Raises
        ------
        BadInputError
            When another batch is meant (``batch_id``) that is not there.
        """
        was = self._find_batch(batch_id)
        described = replace(was, cue=cue or was.cue, feel=feel or was.feel)
        self._keep_batch(described, "the words for the batch")
        return described

    def put_voice(self, batch_id: str, of: VoiceOf, audio: Audio | None) -> None:
        """Keep a cue or feel that was spoken, None = take it off; raises as ``store_spoken``."""
        batch, library = self._find_batch(batch_id), self._desk.library
        voice = None if audio is None else store_spoken(library, self._lesson_id, of, audio)
        with self._key(f"the {of.said_as}"):
            name_voice(library, self._lesson_id, batch.id, of, voice)

    def set_club(self, club: str) -> Batch:
        """Say with which club the open batch is hit; where it has shots already, a new batch begins with it."""
        last = self._desk.library.lesson(self._lesson_id).batches[-1]
        swings = self._desk.library.swings(self._lesson_id)
        if last.club and club.strip() != last.club and any(swing.batch_id == last.id for swing in swings):
            last = self.start_batch()
        renewed = replace(last, club=club.strip())
        self._keep_batch(renewed, "the club")
        return renewed

    def _find_batch(self, batch_id: str) -> Batch:
        """The batch of that id, '' = the last."""
        batches = self._desk.library.lesson(self._lesson_id).batches
        found = next((batch for batch in batches if batch.id == batch_id), None) if batch_id else batches[-1]
        if found is None:
            raise BadInputError("That batch is gone: its key was taken back.")
        return found

    def _keep_batch(self, batch: Batch, what: str) -> None:
        batches = self._desk.library.lesson(self._lesson_id).batches
        with self._key(what):
            self._desk.library.set_batches(self._lesson_id, [batch if b.id == batch.id else b for b in batches])

    def end(self) -> None:
        """End the lesson now."""
        with self._key("the end of the lesson"):
            ended = end_lesson(self._desk.library, self._desk.reload(), self._desk.now())
        self._desk.live = ended
        self._match()

    def undo(self) -> str:
        """Take the last key back; return what was taken back.

        Raises
        ------
        BadInputError
            When there is nothing to take back since the program was started, or another run changed it since.
        """
        if not self._done:
            raise BadInputError("There is no key to take back since the program was started.")
        key = self._done[-1]
        try:
            if key.answered:
                self._take_answer_back(key)
            else:
                take_back(self._desk.library, self._lesson_id, key)
        except BadInputError:
            self._done.pop()  # the next press takes back the key before
            raise
        self._done.pop()
        self._desk.reload()
        self._match()
        return key.what

    def _take_answer_back(self, key: KeyDone) -> None:
        known = said_pairs(self._desk.library.swings(self._lesson_id))
        undone = [clip_id for clip_id, row in key.answered.items() if clip_id in known and known[clip_id] == row]
        if not undone:
            raise BadInputError(f"Not taken back: {key.what}. It was changed by another run of the program since.")
        self._following.match(self._lesson_id, undone=undone)

    def _find_swing(self, order: int | None) -> Swing:
        """The swing of that number, None = the last."""
        swings = self._desk.library.swings(self._lesson_id)
        if not swings:
            raise BadInputError("There is no swing yet.")
        found = next((swing for swing in swings if swing.order == order), swings[-1] if order is None else None)
        if found is None:
            raise BadInputError(f"There is no swing {order} in this lesson; the last one is {swings[-1].order}.")
        return found

    def _say(self, swing: Swing, what: str, value: str, name: str) -> None:
        with self._key(name):
            self._desk.library.say(self._lesson_id, [Said(item, what, value) for item in swing.items])
        self._match()

    def _match(self) -> None:
        """Match anew; what the key did is kept already, so where this fails the session tries again."""
        self._desk.to_match.add(self._lesson_id)
        try:
            self._following.match(self._lesson_id)
        except MachineError as error:
            self._desk.note_failure(error)

    @contextmanager
    def _key(self, what: str) -> Iterator[None]:
        """Do what a key does in one step, and remember it once it is kept."""
        done: list[KeyDone] = []
        with record_key(self._desk.library, self._lesson_id, what, done):
            yield
        self._remember(done[0])

    def _remember(self, key: KeyDone) -> None:
        self._done.append(key)
        del self._done[:-_UNDO_DEPTH]

    def _on_device(self, at: datetime) -> datetime:
        """A moment of this computer's clock on the device's, as far as its rows tell."""
        arrived = [*self._desk.arrived_rows()]
        moments = place_rows(arrived)
        for shot, _ in reversed(arrived):
            if shot.struck_at is not None:
                return at + (shot.struck_at - moments.at[shot.id])
        return at
