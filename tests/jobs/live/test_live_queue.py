"""The work queue with real processes and made-up work: order, making way, retry, cancel, no process left."""

import os
import time
from pathlib import Path

import pytest
from queue_work import carry_out, lines

from review.jobs.live import worker
from review.jobs.live.work_queue import Finished, WorkQueue
from review.jobs.live.worker import Order
from review.library import Library
from review.pose import Effort


@pytest.fixture
def queue():
    made = WorkQueue(n_processes=1, carry_out=carry_out)
    yield made
    made.close()


def order(folder: Path, clip: str, effort: Effort = Effort.QUICK) -> Order:
    return Order(folder, "lesson", clip, effort)


def look_until(queue: WorkQueue, is_enough, seconds: float = 60.0) -> list[Finished]:
    finished: list[Finished] = []
    until = time.monotonic() + seconds
    while not is_enough(finished):
        assert time.monotonic() < until, "nothing came"
        finished += queue.look()[1]
        time.sleep(0.02)
    return finished


def test_quick_orders_come_before_thorough_ones_the_newest_first_and_none_twice(queue, tmp_path):
    queue.add(order(tmp_path, "thorough", Effort.THOROUGH))
    for clip in ("first", "second", "second", "third"):
        queue.add(order(tmp_path, clip))
    assert (len(queue), queue.n_quick) == (4, 3)
    finished = look_until(queue, lambda f: len(f) == 4)
    assert [f.outcome.swing_id for f in finished] == ["third", "second", "first", "thorough"]
    assert len(queue) == 0


def test_a_thorough_run_makes_way_for_a_new_ball_and_begins_anew(queue, tmp_path):
    queue.add(order(tmp_path, "long", Effort.THOROUGH))
    look_until(queue, lambda _: lines(tmp_path) == ["long begun"])
    queue.add(order(tmp_path, "ball"))
    finished = look_until(queue, lambda f: len(f) == 2)
    assert [f.outcome.swing_id for f in finished] == ["ball", "long"]
    assert lines(tmp_path) == ["long begun", "long stopped", "ball begun", "ball done", "long begun", "long done"]


def test_an_order_whose_process_dies_or_whose_disk_is_full_is_tried_again(queue, tmp_path):
    queue.add(order(tmp_path, "dies once"))
    (finished,) = look_until(queue, lambda f: len(f) == 1)
    assert finished.outcome.swing_id == "dies once"
    queue.add(order(tmp_path, "full"))
    (finished,) = look_until(queue, lambda f: len(f) == 1)
    assert finished.outcome.problem.startswith("The disk is full. It was tried 3 times")
    assert lines(tmp_path).count("full begun") == 3


def test_whatever_goes_wrong_with_one_order_is_its_outcome_in_words_and_the_next_one_goes_on(queue, tmp_path):
    for clip in ("bad", "odd", "model", "ball"):
        queue.add(order(tmp_path, clip))
    finished = look_until(queue, lambda f: len(f) == 4)
    came = {f.order.clip_id: f.outcome for f in finished}
    assert came["bad"].problem == "Too dark to see the player."
    assert "do not fit" in came["odd"].problem
    assert "inference failed" in came["model"].problem
    assert came["ball"].swing_id == "ball"
    assert len([line for line in lines(tmp_path) if line.endswith("begun")]) == 4  # trying again would not help


def test_measuring_can_be_stopped_and_gone_on_with_or_dropped(queue, tmp_path):
    queue.add(order(tmp_path, "long one"))
    look_until(queue, lambda _: lines(tmp_path) == ["long one begun"])
    queue.pause()
    look_until(queue, lambda _: lines(tmp_path)[-1] == "long one stopped")
    queue.go_on()
    (finished,) = look_until(queue, lambda f: len(f) == 1)
    assert finished.outcome.swing_id == "long one"
    queue.add(order(tmp_path, "never"))
    queue.cancel()
    queue.look()
    assert len(queue) == 0
    assert "never begun" not in lines(tmp_path)


@pytest.mark.parametrize("clip", ["clip", ""])
def test_an_order_of_a_lesson_that_was_forgotten_meanwhile_says_so(tmp_path, clip):
    Library.open(tmp_path).close()
    assert "no longer in the library" in worker.carry_out(order(tmp_path, clip)).problem


def test_no_process_outlives_the_queue(queue, tmp_path):
    queue.add(order(tmp_path, "long one"))
    look_until(queue, lambda _: lines(tmp_path) == ["long one begun"])
    processes = [*queue._pool._processes]
    queue.close()
    for process in processes:
        with pytest.raises(ProcessLookupError):
            os.kill(process, 0)
