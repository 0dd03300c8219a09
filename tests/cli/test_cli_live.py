"""``live`` as a coach runs it: a process, a folder, a table, keys through a pipe, a kill; then ``move``."""

import io
import os
import queue
import shutil
import signal
import subprocess
import sys
import threading
import time
from datetime import datetime
from pathlib import Path

import pytest

from review.cli.live.keys import Keys
from review.cli.main import main
from review.jobs.live import LiveSession, watching
from review.library import Library

ROOT = Path(__file__).parents[2]
CLIPS = sorted((ROOT / "sample_clips" / "clips").glob("*.mp4"))
HEADER, *ROWS = (ROOT / "sample_clips" / "shots.csv").read_text(encoding="utf-8").splitlines()


def _hear_ctrl_c() -> None:
    """Tests run in the background inherit that Ctrl-C is ignored; a coach's terminal does not."""
    signal.signal(signal.SIGINT, signal.default_int_handler)


class Run:
    """One run of ``live`` and what it says."""

    def __init__(self, library: Path, *arguments: object) -> None:
        command = [sys.executable, "-m", "review", "live", "--body", "none", "--library", library, *arguments]
        self.process = subprocess.Popen(
            [str(part) for part in command],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.STDOUT,
            text=True,
            cwd=ROOT,
            env={**os.environ, "PYTHONUNBUFFERED": "1"},
            preexec_fn=None if os.name == "nt" else _hear_ctrl_c,
        )
        self.said: list[str] = []
        self._lines: queue.SimpleQueue[str] = queue.SimpleQueue()
        threading.Thread(target=self._read, daemon=True).start()

    def _read(self) -> None:
        for line in self.process.stdout:
            self._lines.put(line.rstrip())

    def expect(self, text: str, seconds: float = 60.0) -> str:
        until = time.monotonic() + seconds
        while time.monotonic() < until:
            try:
                line = self._lines.get(timeout=0.2)
            except queue.Empty:
                continue
            self.said.append(line)
            assert "Traceback" not in line
            if text in line:
                return line
        raise AssertionError(f"{text!r} was never said; said: {self.said}")

    def press(self, line: str) -> None:
        self.process.stdin.write(f"{line}\n")
        self.process.stdin.flush()

    def end(self) -> int:
        try:
            return self.process.wait(timeout=60)
        finally:
            self.process.kill()


def hit(folder: Path, i: int) -> None:
    """The camera drops a clip that ends now, the device adds a row."""
    now = datetime.now()
    table = folder / "shots.csv"
    is_new = not table.exists()
    with table.open("a", encoding="utf-8") as file:
        file.write(f"{HEADER}\n" * is_new + f"{now:%H:%M:%S}{ROWS[i][8:]}\n")
    shutil.copyfile(CLIPS[i], folder / "clips" / f"{now:%Y%m%d_%H%M%S}.mp4")


def test_a_lesson_through_a_pipe_with_a_kill_in_the_middle(tmp_path, capsys):
    (tmp_path / "clips").mkdir()
    library = tmp_path / "library"
    first = Run(library, "--pupil", "Test Pupil", "--handed", "right", "--clips", tmp_path / "clips", "--shots",
                tmp_path / "shots.csv", "--aim", "club_path_deg")  # fmt: skip
    try:
        assert "Test Pupil, lesson of" in first.expect("begins: Batch 1")
        first.expect("Keys: b new batch")
        hit(tmp_path, 0)
        assert "4.8° in-to-out (row 1 of the table)" in first.expect("Swing 1")
        first.press("b turn the lead hip / spins out")
        first.expect("Batch 2 begins")
        time.sleep(6.0)  # balls that follow in two seconds are not told apart by when they arrive
        hit(tmp_path, 1)
        first.expect("(row 2 of the table)")
        first.expect("batch 2, 1 shot")
        time.sleep(3.0)  # the clip may come after the row
    finally:
        first.process.send_signal(signal.SIGKILL) if os.name != "nt" else first.process.kill()
        first.process.wait()

    again = Run(library)
    try:
        again.expect("goes on: Batch 2, turn the lead hip")
        again.press("d")
        again.expect("Swing 2 is a drill now.")
        again.press("x")
        again.expect("x is no key; h shows the keys.")
        again.press("h")
        again.expect("Keys: b new batch")
        again.press("u")
        again.expect("Taken back: what swing 2 was.")
        second = Run(library)
        second.expect("another run")
        assert second.end() == 3
        again.press("e")
        again.expect("The lesson is over: 2 swings.")
        assert again.end() == 1  # consent is not on record
    finally:
        again.process.kill()
    with Library.open(library) as opened:
        lesson = opened.latest_lesson()
        swings = opened.swings(lesson.id)
        assert [(s.shot.row_number, len(s.clips)) for s in swings] == [(1, 1), (2, 1)]
        assert [(b.cue, b.feel, b.is_closed) for b in lesson.batches] == [
            ("", "", True),
            ("turn the lead hip", "spins out", True),
        ]

    assert main(["move", "2", "--to", "Walk In", "--handed", "left", "--library", str(library)]) == 1
    assert "1 swing (1 clip, 1 row) went from Test Pupil to Walk In" in capsys.readouterr().out
    assert main(["move", "1-1", "--to", "Nobody", "--library", str(library)]) == 2
    assert "--handed" in capsys.readouterr().err


@pytest.mark.skipif(os.name == "nt", reason="Ctrl-C cannot be sent to one process there")
@pytest.mark.parametrize(
    ("consent", "code"), [([], 1), (["--consent-by", "A", "--consent-for", "keep,measure,share"], 0)]
)
def test_a_lesson_left_by_ctrl_c_says_whether_the_coach_has_something_to_do(tmp_path, consent, code):
    (tmp_path / "clips").mkdir()
    run = Run(tmp_path / "library", "--pupil", "A", "--handed", "right", "--clips", tmp_path / "clips", *consent)
    try:
        run.expect("Keys: b new batch")
        time.sleep(0.5)
        run.process.send_signal(signal.SIGINT)
        run.expect("Left. Everything is kept")
        assert run.end() == code
    finally:
        run.process.kill()


def test_what_could_not_be_taken_in_is_named_at_the_end(tmp_path, capsys, monkeypatch):
    (tmp_path / "clips").mkdir()
    monkeypatch.setattr(watching, "PATIENCE_S", 1.0)
    monkeypatch.setattr("sys.stdin", io.StringIO("e\n"))
    real = LiveSession.end

    def end_once_told(session):
        (tmp_path / "clips" / "half.mp4").write_bytes(CLIPS[0].read_bytes()[:20_000])
        real(session)

    monkeypatch.setattr(LiveSession, "end", end_once_told)
    arguments = ["--pupil", "A", "--handed", "right", "--consent-by", "A", "--consent-for", "keep,measure,share"]
    where = ["--clips", str(tmp_path / "clips"), "--library", str(tmp_path / "library")]
    assert main(["live", "--body", "none", *arguments, *where]) == 1
    assert "Taken in, except half.mp4" in capsys.readouterr().out


@pytest.mark.parametrize(
    ("arguments", "words"),
    [
        ([], "No lesson is going on|--clips"),
        (["--pupil", "A", "--handed", "right"], "--clips FOLDER"),
        (["--pupil", "A", "--handed", "right", "--clips", "missing"], "There is no folder"),
        (["--pupil", "A", "--clips", "."], "--handed"),
        (["--pupil", "A", "--handed", "right", "--clips", ".", "--camera", "x"], "NAME=PATTERN"),
        (["--pupil", "A", "--handed", "right", "--clips", ".", "--minor"], "--guardian"),
        (["--pupil", "A", "--handed", "right", "--clips", ".", "--shots", "no/t.csv"], "device writes its table"),
        (["--pupil", "A", "--handed", "right", "--clips", ".", "--mapping", "no.toml"], "no.toml"),
    ],
)
def test_a_request_that_cannot_be_used(tmp_path, capsys, monkeypatch, arguments, words):
    monkeypatch.chdir(tmp_path)
    assert main(["live", *arguments, "--library", str(tmp_path / "library")]) == 2
    printed = capsys.readouterr().err
    assert any(word in printed for word in words.split("|"))
    with Library.open(tmp_path / "library") as library:
        assert library.lessons() == ()


@pytest.mark.skipif(os.name == "nt", reason="needs a terminal of its own")
def test_single_presses_in_a_terminal_and_a_typed_line(monkeypatch):
    import pty

    outside, inside = pty.openpty()
    with os.fdopen(inside, "r", buffering=1) as terminal, keys_on(terminal, monkeypatch) as keys:
        taken: list[str] = []

        def take(n: int) -> list[str]:
            until = time.monotonic() + 20
            while len(taken) < n and time.monotonic() < until:
                taken.extend(keys.take())
                time.sleep(0.02)
            return taken

        time.sleep(0.3)
        os.write(outside, b"b")
        assert take(1) == ["b"]
        os.write(outside, b"w")
        time.sleep(0.3)
        os.write(outside, b"zip / late\n")
        assert take(2) == ["b", "w zip / late"]
        time.sleep(0.3)
        os.write(outside, b"u")
        assert take(3)[2] == "u"
    os.close(outside)


def keys_on(terminal, monkeypatch) -> Keys:
    monkeypatch.setattr(sys, "stdin", terminal)
    return Keys(with_text="w")
