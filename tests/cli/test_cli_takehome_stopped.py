"""Stopping while the program still loads."""

from review.cli import main as command_line


def test_stopped_while_loading_says_so(monkeypatch, capsys):
    def stop(name):
        raise KeyboardInterrupt

    monkeypatch.setattr(command_line, "import_module", stop)
    assert command_line.main(["takehome", "last", "--to", "out"]) == 1
    assert "Stopped." in capsys.readouterr().err
