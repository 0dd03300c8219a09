"""What the strip of a voice says; without Qt."""

from math import ceil

from review.app.language import tr
from review.lesson import Batch, Voice, VoiceOf

KEY_OF = {VoiceOf.CUE: "Q", VoiceOf.FEEL: "F"}


def say_what(batch: Batch, of: VoiceOf) -> str:
    """Say what is or would be spoken."""
    name = tr("Cue") if of is VoiceOf.CUE else tr("Feel")
    return tr("{what} of batch {n}", what=name, n=batch.number)


def say_there(voice: Voice | None) -> str:
    """Say what is there."""
    return tr("nothing spoken") if voice is None else tr("{n} s spoken", n=max(1, round(voice.duration_s)))


def say_left(longest_s: float, seconds: float) -> str:
    """Say how many seconds are left."""
    return tr("{n} s", n=max(0, ceil(longest_s - seconds - 1e-6)))


def say_keys(of: VoiceOf, *, is_busy: bool, is_recording: bool, is_there: bool, key: str = "") -> str:
    """Say what the keys do now."""
    key = key or KEY_OF[of]
    if is_recording:
        return tr("{key} ends   Esc throws it away", key=key)
    if is_busy:
        return tr("Space silent")
    if is_there:
        return tr("Space plays   {key} anew   Del takes it off   Esc done", key=key)
    return tr("{key} speak   Esc done", key=key)


def say_beside(words: str, voice: Voice | None) -> str:
    """Say a cue or feel of which something may be spoken, too."""
    if voice is None:
        return words
    return " · ".join(part for part in (words, say_there(voice)) if part)
