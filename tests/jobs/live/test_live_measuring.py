"""Body numbers that follow a ball: quick ones first, thorough ones when it is quiet, at the end all alike.

Landmarks are those of a rendered swing, in place of the pose model, which has tests of its own.
"""

from dataclasses import replace
from datetime import timedelta

import pytest
from watched_lesson import CLIPS, Bay

from review.errors import BadInputError, MachineError
from review.jobs.live import Measured, Noted, idle_work, worker
from review.jobs.live.work_queue import Finished
from review.jobs.live.worker import carry_out
from review.jobs.measuring import kept_landmarks, whole_lesson
from review.jobs.pupil_page import end_consent, keep_consent
from review.jobs.review_copies import has_copy
from review.lesson import Consent, Purpose
from review.library import Library
from review.pose import Effort


class HereQueue:
    """The work queue's face, with the work done at once in this process."""

    is_paused = False

    def __init__(self) -> None:
        self.orders = []
        self.done = []

    def __len__(self) -> int:
        return len(self.orders)

    def add(self, order) -> None:
        self.orders.append(order)

    def look(self):
        now, self.orders = self.orders, []
        self.done += now
        return (), tuple(Finished(order, carry_out(order)) for order in now)


@pytest.fixture
def bay(tmp_path, monkeypatch, face_on):
    def track_clip(order, progress):
        progress(1, 1)
        return replace(face_on.track, model="full" if order.effort is Effort.QUICK else "heavy")

    monkeypatch.setattr(kept_landmarks, "track_clip", track_clip)
    monkeypatch.setattr(whole_lesson, "track_clips", lambda orders, *_: ({}, dict.fromkeys(orders, "not looked at")))
    made = Bay(tmp_path, begins="10:11:00")
    yield made
    made.close()


def test_numbers_follow_each_ball_and_better_ones_when_it_is_quiet(bay):
    queue = HereQueue()
    bay.open(queue=queue)
    for i in (0, 1):
        bay.time += timedelta(seconds=40)
        bay.drop(i)
        bay.wait(3)
    measured = bay.events(Measured)
    assert [(event.swing.order, event.effort) for event in measured] == [(1, Effort.QUICK), (2, Effort.QUICK)]
    kept = bay.library.measures(bay.lesson.id)
    for event in measured:
        assert event.measures == kept[event.swing.id]
        assert {"hip_turn_deg", "shoulder_turn_deg"} <= {measure.name for measure in event.measures}

    bay.wait(50, every_s=5)
    assert len(bay.events(Measured)) == 2  # not quiet for long enough
    bay.wait(30, every_s=5)
    assert [event.effort for event in bay.events(Measured)[2:]] == [Effort.THOROUGH] * 2
    methods = {method for made in bay.library.measure_methods(bay.lesson.id).values() for method in made}
    assert all(method.endswith("thorough") for method in methods)

    n_done = len(queue.done)
    bay.session.end()
    bay.wait(5)
    assert [order.clip_id for order in queue.done[n_done:]] == [""]
    assert len(bay.notes("in common")) == 1


def in_use(*_):
    raise MachineError("The library is in use by another run of the program.")


def test_what_was_measured_is_told_once_when_the_library_is_free_again(bay, monkeypatch):
    bay.open(queue=HereQueue())
    bay.time += timedelta(seconds=40)
    with monkeypatch.context() as busy:
        busy.setattr(Library, "measures", in_use)
        bay.drop(0)
        bay.wait(4)
        assert bay.events(Measured) == []
        assert not bay.session.is_settled
        assert len(bay.notes("in use")) == 1
    bay.wait(6)
    assert len(bay.events(Measured)) == 1
    assert bay.events(Measured)[0].measures


def test_thorough_work_waits_for_a_library_in_use(bay, monkeypatch):
    queue = HereQueue()
    bay.open(queue=queue)
    bay.time += timedelta(seconds=40)
    bay.drop(0)
    bay.wait(3)
    with monkeypatch.context() as busy:
        busy.setattr(idle_work, "load_landmarks", in_use)
        bay.session.end()
        bay.wait(2)
    n_done = len(queue.done)
    bay.wait(10)
    assert [order.effort for order in queue.done[n_done:]] == [Effort.THOROUGH] * 2


def test_a_clip_that_a_key_matched_is_measured_too(bay, monkeypatch):
    queue = HereQueue()
    bay.open(queue=queue)
    bay.time += timedelta(seconds=40)
    with monkeypatch.context() as full:
        full.setattr(Library, "replace_swings", in_use)
        bay.drop(0)
        bay.wait(2)
    assert queue.done == []
    bay.session.coach.start_batch()
    bay.wait(6)
    assert [order.effort for order in queue.done] == [Effort.QUICK]
    assert len(bay.events(Measured)) == 1


def test_the_last_run_over_all_swings_tells_what_was_not_measured_and_no_success(bay, monkeypatch):
    queue = HereQueue()
    bay.open(queue=queue)
    bay.time += timedelta(seconds=40)
    bay.drop(0)
    bay.wait(3)

    def nothing_seen(*_):
        raise BadInputError("Nobody is seen in it.")

    monkeypatch.setattr(whole_lesson, "measure_tracks", nothing_seen)
    bay.session.end()
    bay.wait(5)
    assert queue.done[-1].clip_id == ""
    assert len(bay.notes("Not measured: swing 1: Nobody is seen")) == 1
    assert bay.notes("in common") == []


def test_a_stopped_run_measures_what_was_left(bay):
    bay.open()
    bay.drop(0)
    bay.wait(3)
    assert bay.events(Measured) == []
    bay.open(pupil="", queue=HereQueue())
    bay.wait(3)
    assert len(bay.events(Measured)) == 1


def test_without_consent_nothing_is_measured_and_it_is_said(bay):
    queue = HereQueue()
    bay.open(pupil="Walk In", consent=None, queue=queue)
    bay.drop(0)
    bay.wait(3)
    assert queue.done == []
    assert len(bay.notes("measure", "not on record")) == 1
    assert len(bay.notes("no body numbers are made in this lesson")) == 1
    assert len(bay.notes("No body numbers: Walk In has not consented")) == 1
    bay.drop(1)
    bay.wait(3)
    assert len(bay.notes("No body numbers: Walk In has not consented")) == 1
    assert bay.swings[0].clips[0].original_name == CLIPS[0].name


def test_consent_given_during_the_lesson_measures_what_there_is_and_withdrawn_it_stops(bay):
    queue = HereQueue()
    bay.open(pupil="Walk In", consent=None, queue=queue)
    bay.drop(0)
    bay.wait(3)
    assert queue.done == []
    pupil = bay.library.pupils()[0]
    agreed = Consent("Walk In", bay.time.date(), frozenset({Purpose.KEEP, Purpose.MEASURE}))
    keep_consent(bay.library.folder, pupil.id, agreed)
    bay.wait(5)
    assert len(bay.notes("the swings so far are measured")) == 1
    assert len(bay.events(Measured)) == 1
    end_consent(bay.library.folder, pupil.id)
    bay.wait(5)
    bay.drop(1)
    bay.wait(3)
    assert len(bay.notes("no more body numbers")) == 1
    assert len(bay.events(Measured)) == 1


def test_a_minor_is_measured_with_the_guardians_consent_only(bay):
    queue = HereQueue()
    day = bay.time.date()
    own = Consent("Young One", day, frozenset({Purpose.MEASURE}))
    bay.open(pupil="Young One", consent=own, is_minor=True, guardian="Parent", queue=queue)
    bay.drop(0)
    bay.wait(3)
    assert queue.done == []
    guardians = Consent("Parent", day, frozenset({Purpose.MEASURE}))
    bay.open(pupil="Young One", consent=guardians, is_minor=True, guardian="Parent", queue=queue)
    bay.wait(3)
    assert len(queue.done) == 1


def test_review_copies_are_made_when_it_is_quiet_before_thorough_work(bay, monkeypatch):
    queue = HereQueue()
    bay.open(queue=queue)
    for i in (0, 1):
        bay.time += timedelta(seconds=40)
        bay.drop(i)
        bay.wait(3)
    assert not any(order.is_copy for order in queue.done)
    bay.wait(80, every_s=5)
    later = [order for order in queue.done if order.effort is Effort.THOROUGH]
    assert [order.is_copy for order in later] == [True, True, False, False]
    clips = bay.library.clips(bay.lesson.id)
    assert {order.clip_id for order in later[:2]} == {clip.id for clip in clips}
    assert all(has_copy(bay.library, clip) for clip in clips)


def test_a_copy_that_cannot_be_made_is_told_once_and_measuring_goes_on(bay, monkeypatch):
    def fail(*_):
        raise MachineError("The disk is too full.")

    monkeypatch.setattr(worker, "make_copy", fail)
    queue = HereQueue()
    bay.open(queue=queue)
    bay.time += timedelta(seconds=40)
    bay.drop(0)
    bay.wait(90, every_s=5)
    assert [order.is_copy for order in queue.done if order.effort is Effort.THOROUGH] == [True, False]
    told = [event.text for event in bay.events(Noted) if "copy" in event.text]
    assert len(told) == 1
    assert "slow: The disk is too full." in told[0]
    assert bay.events(Measured)[-1].effort is Effort.THOROUGH
