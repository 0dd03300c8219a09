"""What the coach is asked to write while a lesson goes on: feel, cue, club, why a swing is left out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import Any

from review.app.language import tr
from review.app.live.following import Act
from review.app.live.words_form import WordsForm
from review.app.state import ReviewState
from review.jobs.live import EarlierWords
from review.lesson import Batch, Swing, VoiceOf


class WordsAsked:
    """Asks in ``form`` and lets the lesson keep the answer by ``act``; ``meant`` is the swing a key is about."""

    def __init__(
        self,
        state: ReviewState,
        form: WordsForm,
        act: Callable[[Act, Callable[[Any], None] | None], None],
        meant: Callable[[], Swing | None],
        say: Callable[[str], None],
    ) -> None:
        self._state, self._form, self._do, self._find_meant, self.say = state, form, act, meant, say
        self.words, self._closed_id = EarlierWords(), ""
        self.speak: Callable[[Batch, VoiceOf], object] = lambda batch, of: None

    def _act(self, act: Act, then: Callable[[Any], None] | None = None) -> None:
        self._do(act, then)

    def ask_last_feel(self, go_on: Callable[[], None]) -> bool:
        """Ask what the last batch felt like, then go on, by Esc or Enter; at once where it is known.

        Returns whether it is asked.
        """
        shown = self._state.lesson
        last = shown.lesson.batches[-1] if shown is not None and shown.lesson.batches else None
        if self._form.is_between:
            self._form.go_on = go_on
            return True
        is_known = shown is None or last is None or last.feel or (last.id, VoiceOf.FEEL) in shown.voices
        is_struck = last is not None and shown is not None and any(s.batch_id == last.id for s in shown.swings)
        if last is None or is_known or not is_struck or last.id == self._closed_id:
            go_on()
            return False
        self.ask_feel(last, go_on)
        return True

    def ask_feel(self, closed: Batch, go_on: Callable[[], None] | None = None) -> None:
        """Ask what a batch felt like that is over, or is about to be; ``go_on`` is called with it, or without."""
        if go_on is None:
            self._closed_id = closed.id  # the lesson that is shown may not know it yet

        def keep(feel: str) -> None:
            if feel:
                self._act(lambda session: session.coach.describe_batch(feel=feel, batch_id=closed.id))

        self._form.ask(
            tr("What did batch {n} feel like?", n=closed.number),
            [(tr("Feel"), "", self._used(lambda b: b.feel, self._feels))],
            keep,
            lambda _: self.speak(closed, VoiceOf.FEEL),
            closed.id,
            go_on,
        )

    def ask_before_first(self, batch: Batch) -> None:
        """Ask for cue, feel and club of a batch that has no swing yet."""

        def keep(cue: str, feel: str, club: str) -> None:
            done = tr("Noted for batch {n}.", n=batch.number)
            self._act(lambda session: session.coach.describe_batch(cue, feel, batch.id), lambda _: self.say(done))
            self._set_club(club)

        self._form.ask(
            tr("Batch {n} is open, no swing yet: this is for it", n=batch.number),
            [
                (tr("Cue"), batch.cue, self._used(lambda b: b.cue, self.words.cues)),
                (tr("Feel"), batch.feel, self._used(lambda b: b.feel, self._feels)),
                (tr("Club"), batch.club, self._used(lambda b: b.club, self.words.clubs)),
            ],
            keep,
            None,
            batch.id,
        )

    def ask_words(self) -> None:
        """Ask for cue and feel of the chosen swing's batch, else of the open one."""
        shown = self._state.lesson
        if shown is None or not shown.lesson.batches:
            return
        meant = self._find_meant() if self._state.swing_id else None
        own = [one for one in shown.lesson.batches if meant is not None and one.id == meant.batch_id]
        batch = (*own, shown.lesson.batches[-1])[0]
        self._form.ask(
            tr("Batch {n}", n=batch.number),
            [
                (tr("Cue"), batch.cue, self._used(lambda b: b.cue, self.words.cues)),
                (tr("Feel"), batch.feel, self._used(lambda b: b.feel, self._feels)),
            ],
            lambda cue, feel: self._act(lambda session: session.coach.describe_batch(cue, feel, batch.id)),
            lambda n: self.speak(batch, (VoiceOf.CUE, VoiceOf.FEEL)[n]),
            batch.id,
        )

    def ask_club(self) -> None:
        """Ask for the club; another one than the batch's begins a batch."""
        shown = self._state.lesson
        club = shown.lesson.batches[-1].club if shown is not None and shown.lesson.batches else ""
        self._form.ask(
            tr("Club"),
            [(tr("Club"), club, self._used(lambda b: b.club, self.words.clubs))],
            self._set_club,
        )

    def _set_club(self, club: str) -> None:
        if club:
            self._act(lambda session: session.coach.set_club(club))

    def ask_why_left_out(self) -> None:
        """Ask why a shot does not count; one that was left out counts again."""
        swing = self._find_meant()
        if swing is None:
            self.say(tr("There is no swing yet."))
        elif swing.left_out:
            self._leave_out("", swing.order)
        else:
            order = swing.order
            usual = [tr("mishit"), tr("ball not seen by the device"), tr("interrupted")]
            self._form.ask(
                tr("Why is swing {n} left out?", n=order),
                [(tr("Reason"), "", usual)],
                lambda reason: self._leave_out(reason or tr("no reason given"), order),
            )

    def _leave_out(self, reason: str, order: int) -> None:
        said = tr("Swing {n} is left out: {why}.", n=order, why=reason) if reason else tr("Swing {n} counts.", n=order)
        self._act(lambda session: session.coach.leave_out(reason, order), lambda _: self.say(said))

    @property
    def _feels(self) -> tuple[str, ...]:
        shown = self._state.lesson
        return () if shown is None else self.words.feels_of(shown.pupil.id)

    def _used(self, of: Callable[[Batch], str], earlier: Sequence[str]) -> list[str]:
        """Words of this lesson's batches, the latest first, then those of earlier lessons."""
        shown = self._state.lesson
        own = [of(batch) for batch in reversed(shown.lesson.batches)] if shown is not None else []
        return [word for word in dict.fromkeys((*own, *earlier)) if word]
