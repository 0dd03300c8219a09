"""Swings of a lesson made ready for clips without detecting anybody: key frames and view by the coach's hand."""

from dataclasses import replace

from review.lesson import KeyFrame, Lesson, Swing, View
from review.library import Library

MOMENTS = {"address": -0.9, "top": -0.3, "impact": 0.0, "finish": 0.5}


def frame_by_hand(library: Library, lesson: Lesson, moments: dict[str, float] = MOMENTS) -> list[Swing]:
    """Mark every struck swing of a batch seen at 60 pictures a second; seconds from the strike that was heard."""
    filmed = [s for s in library.swings(lesson.id) if s.clips and s.clips[0].strike_s and s.batch_id]
    for swing in filmed:
        clip = swing.clips[0]
        assert clip.strike_s is not None
        at = {word: clip.strike_s + gap for word, gap in moments.items()}
        frames = tuple(KeyFrame(word, s, round(60 * s), 1.0, "coach") for word, s in at.items())
        library.set_key_frames(clip.id, frames)
        library.update_clip(replace(clip, view=View.FACE_ON))
    return filmed
