"""A coach's talk over the clips of a lesson: kept with its log, taken off, brought back."""

import uuid
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from review.errors import BadInputError
from review.lesson import Moment, TalkOver, Voice
from review.library import Library
from review.media import VOICE_SUFFIX, Audio, is_silent, write_voice

LONGEST_S = 300.0
"""So long one talk may be."""


@dataclass(frozen=True)
class Spoken:
    """A talk that was just held: its voice, or for how long notes were taken where there is none."""

    moments: tuple[Moment, ...]
    voice: Audio | None
    seconds: float = 0.0


def keep_talk_over(folder: Path, lesson_id: str, spoken: Spoken) -> TalkOver:
    """Keep a talk in the library of a folder. The voice is the coach's own and needs no consent of the pupil.

    Raises
    ------
    BadInputError
        When nothing can be heard and nothing was noted.
    MachineError
        When the disk is full or may not be written.
    """
    voice = spoken.voice
    has_notes = any(moment.note for moment in spoken.moments)
    if voice is not None and is_silent(voice):
        voice = None
    if voice is None and not has_notes:
        raise BadInputError("The microphone gave no sound and nothing was noted, so nothing is kept.")
    rate_hz = spoken.voice.rate_hz if spoken.voice is not None else 1000
    n_samples = len(spoken.voice.samples) if spoken.voice is not None else max(1, round(spoken.seconds * rate_hz))
    moments = tuple(moment for moment in spoken.moments if moment.at < n_samples)
    with Library.open(folder, create=False) as library:
        file = "" if voice is None else library.store_voice(partial(_write, voice))
        talk = TalkOver(uuid.uuid4().hex, datetime.now(), rate_hz, n_samples, moments, uuid.uuid4().hex if file else "")
        with library.transaction():
            if file:
                library.add_voice(lesson_id, Voice(talk.voice_id, file, talk.duration_s, talk.made_at, is_pupils=False))
            library.add_talk_over(lesson_id, talk)
    return talk


def _write(voice: Audio, path: Path) -> str:
    write_voice(path, voice)
    return VOICE_SUFFIX


def remove_talk_over(folder: Path, talk: TalkOver) -> None:
    """Take a talk off; as long as this run goes on ``restore_talk_over`` brings it back."""
    with Library.open(folder, create=False) as library, library.transaction():
        if talk.voice_id:
            library.hold_voice(talk.voice_id)
        library.remove_talk_over(talk.id)


def restore_talk_over(folder: Path, lesson_id: str, talk: TalkOver) -> None:
    """Bring a talk back that was taken off."""
    with Library.open(folder, create=False) as library, library.transaction():
        if talk.voice_id:
            library.voice(talk.voice_id)
        library.add_talk_over(lesson_id, talk)
