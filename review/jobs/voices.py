"""Cue and feel spoken in place of written: who may record, keeping, playing, taking off."""

import uuid
from datetime import datetime
from pathlib import Path

from review.errors import BadInputError
from review.jobs.records import allows_now
from review.lesson import Purpose, Said, Voice, VoiceOf
from review.library import Library
from review.media import VOICE_SUFFIX, Audio, is_silent, read_voice, write_voice

LONGEST_S = 10.0
"""So long a spoken cue or feel may be."""
_SHORTEST_S = 0.3


def check_may_speak(library: Library, lesson_id: str, of: VoiceOf) -> None:
    """See to it that a pupil's voice is recorded, kept and played only with consent.

    Raises
    ------
    BadInputError
        When it is the pupil who would speak, and the consent of today does not cover it.
    """
    lesson = library.lesson(lesson_id)
    pupil = library.pupil(lesson.pupil_id)
    if of.is_pupils and not allows_now(pupil, Purpose.VOICE, lesson.held_on):
        who = f"{pupil.name}'s guardian" if pupil.is_minor else pupil.name
        raise BadInputError(
            f"The feel is spoken by the pupil, and consent to keeping the voice is not on record: ask {who} and note "
            "it on the pupil's page, or write the feel down."
        )


def check_may_speak_in(folder: Path, lesson_id: str, of: VoiceOf) -> None:
    """Do as ``check_may_speak`` in the library of a folder."""
    with Library.open(folder, create=False) as library:
        check_may_speak(library, lesson_id, of)


def load_voice_in(folder: Path, lesson_id: str, batch_id: str, of: VoiceOf) -> Audio:
    """Read what was spoken of a batch.

    Raises
    ------
    BadInputError
        When nothing was, its file is damaged, or the pupil's consent does not cover playing it any longer.
    """
    with Library.open(folder, create=False) as library:
        voice = library.voices(lesson_id).get((batch_id, of))
        if voice is None:
            raise BadInputError("Nothing is spoken there any longer.")
        check_may_speak(library, lesson_id, of)
        return read_voice(library.path_of_voice(voice))


def store_spoken(library: Library, lesson_id: str, of: VoiceOf, audio: Audio) -> Voice:
    """Store what was spoken, before the transaction that names it.

    Raises
    ------
    BadInputError
        When the pupil's consent does not cover it, or nothing can be heard.
    """
    check_may_speak(library, lesson_id, of)
    if audio.duration_s < _SHORTEST_S:
        raise BadInputError("That was too short to say anything; press the key, speak, press it again.")
    if is_silent(audio):
        raise BadInputError(
            "The microphone gave no sound: it is muted, or not allowed for this program. Look at the system's sound "
            "settings; words can be typed."
        )

    def write(path: Path) -> str:
        write_voice(path, audio)
        return VOICE_SUFFIX

    file = library.store_voice(write)
    return Voice(uuid.uuid4().hex, file, audio.duration_s, datetime.now(), of.is_pupils)


def name_voice(library: Library, lesson_id: str, batch_id: str, of: VoiceOf, voice: Voice | None) -> None:
    """Let a batch have what was spoken, None = nothing; inside a transaction."""
    before = library.voices(lesson_id).get((batch_id, of))
    if before is not None:
        library.hold_voice(before.id)
    if voice is not None:
        library.add_voice(lesson_id, voice)
    library.say(lesson_id, [Said(batch_id, of.said_as, voice.id if voice is not None else "")])


def move_voices(library: Library, lesson_id: str, batch_id: str, to_lesson_id: str, to_batch_id: str) -> None:
    """Let what was spoken of a batch go with it to another lesson; what is there already stays."""
    voices, there = library.voices(lesson_id), library.voices(to_lesson_id)
    for of in VoiceOf:
        voice = voices.get((batch_id, of))
        if voice is None:
            continue
        library.say(lesson_id, [Said(batch_id, of.said_as, "")])
        library.move_voice(voice.id, to_lesson_id)
        if (to_batch_id, of) in there:
            library.hold_voice(voice.id)
        else:
            library.say(to_lesson_id, [Said(to_batch_id, of.said_as, voice.id)])
