"""Work beside the window: one outcome each, in order, stopped where it next reports."""

import threading

from PyQt5 import sip
from PyQt5.QtCore import QObject
from waiting import PATIENCE_MS

from review.app.worker import Line, Task
from review.errors import BadInputError


def run(qtbot, *works):
    """Run pieces of work; return what came of them, in order."""
    line, came = Line(), []
    for name, work in enumerate(works):
        line.add(Task(str(name), work, lambda r, n=name: came.append((n, r)), lambda w, n=name: came.append((n, w))))
    qtbot.waitUntil(lambda: not len(line), timeout=PATIENCE_MS)
    line.close()
    return came


def test_outcomes_come_in_order_from_another_thread(qtbot):
    threads = []

    def work(n):
        return lambda progress: threads.append(threading.get_ident()) or n

    assert run(qtbot, work("a"), work("b")) == [(0, "a"), (1, "b")]
    assert threading.get_ident() not in threads


def test_an_error_for_the_coach_is_said_as_it_is_and_the_next_goes_on(qtbot):
    def bad(progress):
        raise BadInputError("There is no library in X.")

    assert run(qtbot, bad, lambda progress: 2) == [(0, "There is no library in X."), (1, 2)]


def test_a_mistake_of_the_program_is_said_too(qtbot, capsys):
    came = run(qtbot, lambda progress: {}["nothing"])
    assert len(came) == 1
    assert "KeyError" in came[0][1]
    assert "library holds is safe" in came[0][1]
    assert "Traceback" in capsys.readouterr().err


def test_stopped_work_has_no_result_and_nobody_elses_is_stopped(qtbot):
    began, came = threading.Event(), []

    def long(progress):
        began.set()
        for n in range(10_000):
            threading.Event().wait(0.001)
            progress(n, 10_000)

    def make(name, work):
        return Task(name, work, came.append, came.append, on_stopped=lambda: came.append(f"{name} stopped"))

    line = Line()
    tasks = [make("long", long), make("next", lambda _: "next done"), make("last", lambda _: "last done")]
    for task in tasks:
        line.add(task)
    assert began.wait(PATIENCE_MS / 1000)
    line.stop(tasks[1])
    assert came == ["next stopped"]
    line.stop(tasks[0])
    qtbot.waitUntil(lambda: not len(line), timeout=PATIENCE_MS)
    assert came == ["next stopped", "long stopped", "last done"]


def test_nothing_is_done_with_the_result_for_a_page_that_is_gone_but_why_it_failed_is_told(qtbot):
    line, came, unheard = Line(), [], []
    line.unheard.connect(unheard.append)

    def bad(progress):
        raise BadInputError("The disk is full.")

    class Owner(QObject):
        def take(self, result):
            came.append(self.objectName() or result)

    own, lent = Owner(), QObject()
    line.add(Task("method", lambda _: 1, own.take, came.append))
    line.add(Task("closure", lambda _: 2, came.append, came.append, owner=lent))
    line.add(Task("bad", bad, own.take, came.append))
    line.add(Task("nobody's", lambda _: 3, came.append, came.append))
    sip.delete(own)
    sip.delete(lent)
    qtbot.waitUntil(lambda: not len(line), timeout=PATIENCE_MS)
    assert (came, unheard) == ([3], ["The disk is full."])


def test_what_keeps_something_is_done_though_the_line_is_stopped_and_closed(qtbot):
    line, done, may_go_on = Line(), [], threading.Event()

    def slow(progress):
        may_go_on.wait(PATIENCE_MS / 1000)
        done.append("ran")
        return "ran"

    def after(outcome):
        done.append(f"after {outcome}")
        line.add(Task("more", lambda _: done.append("more"), done.append, done.append))

    line.add(Task("slow", slow, after, done.append, keeps=True))
    line.add(Task("look", lambda _: done.append("looked"), done.append, done.append))
    line.add(Task("note", lambda _: done.append("noted"), done.append, done.append, keeps=True))
    threading.Timer(0.05, may_go_on.set).start()
    line.close()
    assert done == ["ran", "noted"]
    qtbot.waitUntil(lambda: "after ran" in done, timeout=PATIENCE_MS)
    line.add(Task("late", lambda _: done.append("late"), done.append, done.append, keeps=True))
    # nothing begins after closing but what would be lost
    qtbot.waitUntil(lambda: line.running is None, timeout=PATIENCE_MS)
    assert done == ["ran", "noted", "after ran", "late"]
