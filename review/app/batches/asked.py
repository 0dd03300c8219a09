"""What is written to put a lesson right: words of a batch, club, target, ball, another batch, why a swing is out."""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING, Any

from review.app.batches.corrections import Corrections
from review.app.batches.words import say_swings
from review.app.language import tr
from review.app.live.words_form import WordsForm
from review.app.state import ReviewState
from review.app.worker import Task
from review.lesson import Batch, Swing, VoiceOf

if TYPE_CHECKING:  # loaded beside the window
    from review.jobs.live.before import EarlierWords


class Asked:
    """Asks in ``form``, and lets ``corrections`` keep the answer."""

    def __init__(self, state: ReviewState, form: WordsForm, corrections: Corrections) -> None:
        self._state, self._form, self._corrections = state, form, corrections
        self.words: EarlierWords | None = None
        self.speak: Callable[[Batch, VoiceOf], object] = lambda batch, of: None

    def load_words(self) -> None:
        """Read what the coach wrote in earlier lessons."""
        folder = self._state.library

        def work(_: Any) -> Any:
            from review.jobs.correcting import read_words

            return read_words(folder)

        def take(words: EarlierWords) -> None:
            self.words = words

        self._state.line.add(Task(tr("Reading earlier words"), work, take, self._state.trouble_came.emit))

    def ask_words(self, batch: Batch) -> None:
        """Ask for cue and feel; an empty line takes it away."""
        words, shown = self.words, self._state.lesson
        feels = () if words is None or shown is None else words.feels_of(shown.pupil.id)
        self._form.ask(
            tr("Batch {n}", n=batch.number),
            [
                (tr("Cue"), batch.cue, self._used(lambda b: b.cue, () if words is None else words.cues)),
                (tr("Feel"), batch.feel, self._used(lambda b: b.feel, feels)),
            ],
            lambda cue, feel: self._describe(batch, cue=cue, feel=feel),
            lambda n: self.speak(batch, (VoiceOf.CUE, VoiceOf.FEEL)[n]),
        )

    def ask_conditions(self, batch: Batch) -> None:
        """Ask for club, target and ball."""
        words = self.words
        self._form.ask(
            tr("Batch {n}", n=batch.number),
            [
                (tr("Club"), batch.club, self._used(lambda b: b.club, () if words is None else words.clubs)),
                (tr("Target"), batch.target, self._used(lambda b: b.target)),
                (tr("Ball"), batch.ball, self._used(lambda b: b.ball)),
            ],
            lambda club, target, ball: self._describe(batch, club=club, target=target, ball=ball),
        )

    def ask_batch(self, swings: Sequence[Swing]) -> None:
        """Ask into which batch swings belong."""
        shown = self._state.lesson
        batches = shown.lesson.batches if shown is not None else ()
        own = {swing.batch_id for swing in swings}
        offered = [f"{b.number} {b.cue}".strip() for b in batches if own != {b.id}]

        def move(written: str) -> None:
            number = written.split(" ")[0]
            if number.isdecimal():
                self.move(swings, int(number))
            elif written:
                self._state.trouble_came.emit(tr("Write the number of a batch, or pick one with ↓."))

        one = tr("Which batch is swing {n} of?", n=swings[0].order)
        several = tr("Which batch are {swings} of?", swings=say_swings(swings))
        self._form.ask(one if len(swings) == 1 else several, [(tr("Batch"), "", offered)], move)

    def ask_why_left_out(self, swings: Sequence[Swing]) -> None:
        """Ask why swings do not count; those that were all left out count again."""
        if all(swing.left_out for swing in swings):
            self._leave_out(swings, "")
            return
        usual = [tr("mishit"), tr("ball not seen by the device"), tr("interrupted")]
        one = tr("Why is swing {n} left out?", n=swings[0].order)
        several = tr("Why are {swings} left out?", swings=say_swings(swings))
        self._form.ask(
            one if len(swings) == 1 else several,
            [(tr("Reason"), "", usual)],
            lambda reason: self._leave_out(swings, reason or tr("no reason given")),
        )

    def move(self, swings: Sequence[Swing], number: int) -> None:
        """Put swings into the batch of that number, in one step."""
        from review.jobs.correcting import move_all_to_batch

        ids = [swing.id for swing in swings]
        one = tr("Swing {n} is in batch {batch}", n=swings[0].order, batch=number)
        several = tr("{swings}: now in batch {batch}", swings=say_swings(swings), batch=number)
        self._corrections.do(
            one if len(swings) == 1 else several,
            lambda library, lesson_id: move_all_to_batch(library, lesson_id, ids, number),
        )

    def keep_for_good(self, swings: Sequence[Swing]) -> None:
        """Keep the clips of swings for good; no longer, where all are kept already."""
        from review.jobs.correcting import keep_all

        shown = self._state.lesson
        if shown is None or not swings:
            return
        ids, n, which = [swing.id for swing in swings], swings[0].order, say_swings(swings)
        is_kept = not shown.kept.issuperset(ids)
        if len(swings) == 1:
            name = tr("Swing {n} is kept for good", n=n) if is_kept else tr("Swing {n} goes by the rule", n=n)
        else:
            name = tr("{swings}: kept for good", swings=which) if is_kept else tr("{swings}: by the rule", swings=which)
        self._corrections.do(name, lambda library, lesson_id: keep_all(library, lesson_id, ids, is_kept))

    def _describe(self, batch: Batch, **words: str) -> None:
        from review.jobs.correcting import describe_batch

        name = tr("Words of batch {n}", n=batch.number)
        self._corrections.do(name, lambda library, lesson_id: describe_batch(library, lesson_id, batch.id, **words))

    def _leave_out(self, swings: Sequence[Swing], reason: str) -> None:
        from review.jobs.correcting import leave_out_all

        ids, n, which = [swing.id for swing in swings], swings[0].order, say_swings(swings)
        if len(swings) == 1:
            name = tr("Swing {n} is left out", n=n) if reason else tr("Swing {n} counts", n=n)
        else:
            name = tr("{swings}: left out", swings=which) if reason else tr("{swings}: count again", swings=which)
        self._corrections.do(name, lambda library, lesson_id: leave_out_all(library, lesson_id, ids, reason))

    def _used(self, of: Callable[[Batch], str], earlier: Sequence[str] = ()) -> list[str]:
        """Words of this lesson's batches, the latest first, then those of earlier lessons."""
        shown = self._state.lesson
        own = [of(batch) for batch in reversed(shown.lesson.batches)] if shown is not None else []
        return [word for word in dict.fromkeys((*own, *earlier)) if word]
