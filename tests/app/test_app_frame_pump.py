"""The thread that fetches frames, ended while it is at work."""

import threading
from contextlib import contextmanager

import pytest
from PyQt5 import sip
from waiting import PATIENCE_MS

from review.app.swing_view.frame_pump import FramePump
from review.errors import BadInputError


@pytest.mark.parametrize("is_readable", [True, False])
def test_a_closed_pump_may_go_while_its_clip_is_still_being_opened(qapp, monkeypatch, is_readable: bool) -> None:
    begun, may_go_on, mistakes = threading.Event(), threading.Event(), []
    monkeypatch.setattr(threading, "excepthook", mistakes.append)

    @contextmanager
    def slow():
        begun.set()
        may_go_on.wait(PATIENCE_MS / 1000)
        if not is_readable:
            raise BadInputError("This clip cannot be read.")
        yield None

    pump = FramePump(slow)
    pump.start()
    assert begun.wait(PATIENCE_MS / 1000)
    pump.close()
    sip.delete(pump)  # as Qt does to the parts of a page that was closed
    may_go_on.set()
    pump.wait()
    assert not mistakes
