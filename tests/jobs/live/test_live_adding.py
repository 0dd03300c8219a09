"""Clips added by another run while the lesson goes on: nothing that happens meanwhile is lost."""

from watched_lesson import CLIPS, DAY, Bay

from review.jobs import adding
from review.jobs.lesson_file import LessonPlan, PupilPlan
from review.lesson import Handedness, SwingKind
from review.library import Library


def test_what_the_coach_does_while_clips_are_added_stays(tmp_path, monkeypatch):
    bay = Bay(tmp_path, begins="10:12:20")
    coach = bay.open().coach
    bay.wait(20)
    bay.drop(0)
    bay.wait(4)
    real = adding.expand_recordings

    def search_for_minutes(*what):
        found = real(*what)
        coach.set_kind(SwingKind.DRILL)
        coach.start_batch()
        bay.wait(50)
        bay.drop(1)
        bay.add_row(1)
        bay.wait(4)
        return found

    monkeypatch.setattr(adding, "expand_recordings", search_for_minutes)
    plan = LessonPlan(PupilPlan("Ines Calder", Handedness.RIGHT), DAY, (CLIPS[5],))
    with Library.open(bay.library_folder) as other:
        added = adding.add_lesson(other, plan)
    assert added.n_new_clips == 1
    swing_of = {clip.original_name: swing for swing in bay.swings for clip in swing.clips}
    assert set(swing_of) == {CLIPS[i].name for i in (0, 1, 5)}
    assert swing_of[CLIPS[0].name].kind is SwingKind.DRILL
    assert [batch.number for batch in bay.lesson.batches] == [1, 2]
    assert swing_of[CLIPS[1].name].batch_id == bay.lesson.batches[1].id
    assert [shot.row_number for shot in bay.library.shots(bay.lesson.id)] == [1]
    # and the lesson goes on
    bay.drop(3)
    bay.wait(4)
    kinds = {clip.original_name: swing.kind for swing in bay.swings for clip in swing.clips}
    assert len(kinds) == 4
    assert kinds[CLIPS[0].name] is SwingKind.DRILL
    bay.close()


def test_a_pupil_who_comes_into_the_library_while_clips_are_added_is_one_pupil(tmp_path, monkeypatch):
    bay = Bay(tmp_path, begins="10:12:20")
    real = adding.expand_recordings

    def search_for_minutes(*what):
        bay.open()
        return real(*what)

    monkeypatch.setattr(adding, "expand_recordings", search_for_minutes)
    plan = LessonPlan(PupilPlan("Ines Calder", Handedness.RIGHT), DAY, (CLIPS[5],))
    with Library.open(bay.library_folder) as other:
        added = adding.add_lesson(other, plan)
    assert [pupil.name for pupil in bay.library.pupils()] == ["Ines Calder"]
    assert added.lesson.id == bay.lesson.id
    assert [clip.original_name for clip in bay.library.clips(bay.lesson.id)] == [CLIPS[5].name]
    bay.close()
