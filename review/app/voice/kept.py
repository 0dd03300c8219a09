"""What the library does for the voice strip, to be called beside the window; loaded when it is called."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from review.lesson import Batch, VoiceOf

if TYPE_CHECKING:
    from review.media import Audio


def check_may_speak(folder: Path, lesson_id: str, of: VoiceOf) -> None:
    """Refuse what the pupil's consent does not cover."""
    from review.jobs.voices import check_may_speak_in

    check_may_speak_in(folder, lesson_id, of)


def load_spoken(folder: Path, lesson_id: str, batch: Batch, of: VoiceOf) -> Audio:
    """Read what was spoken of a batch."""
    from review.jobs.voices import load_voice_in

    return load_voice_in(folder, lesson_id, batch.id, of)


def keep_spoken(folder: Path, lesson_id: str, batch: Batch, of: VoiceOf, audio: Audio) -> None:
    """Keep what was spoken of a batch of any lesson."""
    from review.jobs.correcting import put_voice
    from review.jobs.undoing import correct_in

    correct_in(folder, lambda library: put_voice(library, lesson_id, batch.id, of, audio))
