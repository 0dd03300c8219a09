"""What a coach's earlier lessons offer the next one: what was watched, and the words used so far."""

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass, field
from datetime import datetime
from pathlib import Path

from review.jobs.live.beginning import find_going_on
from review.lesson import Handedness, Watched
from review.library import Library


@dataclass(frozen=True)
class EarlierWords:
    """Words of batches, most used first; of those used as often, the latest first.

    Cues and clubs are the coach's words; a feel is a pupil's own sentence, kept by the pupil's id.
    """

    cues: tuple[str, ...] = ()
    feels: dict[str, tuple[str, ...]] = field(default_factory=dict)
    clubs: tuple[str, ...] = ()

    def feels_of(self, pupil_id: str) -> tuple[str, ...]:
        """What this pupil, and no other, felt in earlier lessons."""
        return self.feels.get(pupil_id, ())


@dataclass(frozen=True)
class LiveBefore:
    """What a lesson begins from: whose lesson goes on ('' = none does), what the one before watched, who is known."""

    going_on: str
    watched: Watched
    hands: dict[str, Handedness]
    words: EarlierWords
    guardians: dict[str, str] = field(default_factory=dict)
    """Of pupils under age, by the pupil's name."""


def look_before(folder: Path, now: datetime) -> LiveBefore:
    """Gather what a lesson begins from; where there is no library yet the lesson makes one, and begins from nothing."""
    if not Library.is_there(folder):
        return LiveBefore("", Watched(), {}, EarlierWords())
    with Library.open(folder, create=False) as library:
        lives = library.live_lessons()
        going_on = find_going_on(library, now)
        return LiveBefore(
            "" if going_on is None else library.pupil(library.lesson(going_on.lesson_id).pupil_id).name,
            lives[-1].watched if lives else Watched(),
            {pupil.name: pupil.handedness for pupil in library.pupils()},
            list_words(library),
            {pupil.name: pupil.guardian or "" for pupil in library.pupils() if pupil.is_minor},
        )


def list_words(library: Library) -> EarlierWords:
    """Cues, feels and clubs of all lessons of the library; those of a pupil who was forgotten are gone with him."""
    lessons = library.lessons()
    batches = [batch for lesson in lessons for batch in lesson.batches]
    feels: dict[str, list[str]] = {}
    for lesson in lessons:
        feels.setdefault(lesson.pupil_id, []).extend(batch.feel for batch in lesson.batches)
    return EarlierWords(
        _most_used(batch.cue for batch in batches),
        {pupil_id: _most_used(felt) for pupil_id, felt in feels.items()},
        _most_used(batch.club for batch in batches),
    )


def _most_used(words: Iterable[str]) -> tuple[str, ...]:
    used = [word.strip() for word in words if word.strip()]
    latest = {word: place for place, word in enumerate(used)}
    counts = Counter(used)
    return tuple(sorted(counts, key=lambda word: (counts[word], latest[word]), reverse=True))
