"""From sound to pairs through the real strike detector; larger runs: ``python -m tests.benchmarks.sound_lessons``."""

import pytest

from review.jobs.pairing.matching import match_lesson
from tests.made_sound_lessons import make_sound_lesson


@pytest.mark.parametrize("family", [1, 2])
def test_a_lesson_at_0_db_is_paired_right(family):
    """Neighbours at -6 dB, talk and music as loud as the strike; family 2 is noise nothing was built on."""
    # a third of the size of the benchmark's lessons, for the time it takes to make the sound
    lesson = make_sound_lesson(1, family, 0.0, n_shots=20, n_practice=7, n_missing=1)
    matched = match_lesson(lesson.clips, lesson.shots, ())
    got = {clip.id: swing.shot and swing.shot.id for swing in matched.swings for clip in swing.clips}
    asked = {clip_id for question in matched.matching.questions for clip_id in question.clip_ids}
    # nothing is wrong or left out in silence; of 26 clips one may be asked about
    assert {clip_id: row for clip_id, row in got.items() if row != lesson.truth[clip_id] and clip_id not in asked} == {}
    assert sum(got[clip_id] == row for clip_id, row in lesson.truth.items()) >= len(lesson.truth) - 1
    assert matched.clock_offset_s == pytest.approx(420.5, abs=1.0)
