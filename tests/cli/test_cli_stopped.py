"""Stopped by Ctrl+C or by the system, while the program loads or works."""

import os
import signal
import time

import pytest

from review.cli import backup_command
from review.cli import main as command_line


def test_stopped_while_loading_says_so(monkeypatch, capsys):
    def stop(name):
        raise KeyboardInterrupt

    monkeypatch.setattr(command_line, "import_module", stop)
    assert command_line.main(["takehome", "last", "--to", "out"]) == 1
    assert "Stopped." in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="there the system ends a program without asking")
def test_asked_to_end_by_the_system_a_command_clears_up(monkeypatch, capsys):
    cleared = []

    def work(options):
        try:
            os.kill(os.getpid(), signal.SIGTERM)
            time.sleep(10)
        finally:
            cleared.append("what lay aside")

    def ours(number, frame):
        raise AssertionError("the command did not take the signal")

    monkeypatch.setattr(backup_command, "run", work)
    before = signal.signal(signal.SIGTERM, ours)
    try:
        assert command_line.main(["backup", "--to", "out"]) == 1
        assert signal.getsignal(signal.SIGTERM) is ours
    finally:
        signal.signal(signal.SIGTERM, before)
    assert cleared
    assert "Stopped." in capsys.readouterr().err
