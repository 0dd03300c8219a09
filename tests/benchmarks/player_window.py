"""The same clips looked at through the window: from a key to the painted frame, and played; run by hand.

    python -m tests.benchmarks.player_window FOLDER

FOLDER is that of ``tests.benchmarks.player``, which makes clips and copies. The window is 1366x768, not on a screen:
painting is done, showing is not. Also tells the longest that the window's own thread was held up.
"""

import argparse
import os
import sys
import time
from pathlib import Path

import numpy as np

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")

from PyQt5.QtCore import QEvent, QObject

from review.app.look import DARK, Look
from review.app.swing_view.player import SwingPlayer
from review.jobs.showing.swing import ClipShown, SwingShown
from review.lesson import Clip, Handedness, KeyFrame, Pupil, Swing, View
from tests.benchmarks.player import open_source, peak_mb
from tests.benchmarks.window_loop import WindowLoop


class Paints(QObject):
    """Notes which frame each painting of a canvas showed, and when it was done."""

    def __init__(self, canvas) -> None:
        super().__init__(canvas)
        self.canvas, self.done = canvas, []
        paint = canvas.paintEvent

        def timed(event: QEvent) -> None:
            paint(event)
            self.done.append((canvas.frame, time.perf_counter()))

        canvas.paintEvent = timed


def make_player(clips: list[Path]) -> SwingPlayer:
    key = KeyFrame("impact", 1.0, 60, 1.0, "sound")
    shown = tuple(
        ClipShown(Clip(path.stem, "0" * 64, str(path), path.name, view=view), view, (key,), None)
        for path, view in zip(clips, View, strict=False)
    )
    swing = Swing("s", 1, clips=tuple(one.clip for one in shown))
    shown_swing = SwingShown(Pupil("p", "Benchmark", Handedness.RIGHT), swing, 1, shown, 0, {}, "not measured")
    player = SwingPlayer(shown_swing, lambda one: lambda: open_source(Path(one.clip.file), with_copy=True))
    player.set_look(Look.fit(DARK, 1366, 768))
    player.resize(1366, 768)
    player.show()
    return player


def main() -> None:
    parser = argparse.ArgumentParser()
    parser.add_argument("folder", type=Path)
    folder: Path = parser.parse_args().folder
    loop = WindowLoop()
    until, ticks = loop.until, loop.ticks

    player = make_player([folder / "long.mp4"])
    until(lambda: player.leading.frame is not None)
    paints = Paints(player.leading)
    rng = np.random.default_rng(5)
    for name, wanted in (
        ("step forward", [1000 + i for i in range(200)]),
        ("step back", [3000 - i for i in range(200)]),
        ("jump", rng.integers(0, 4800, 150).tolist()),
    ):
        player.go_to(wanted[0] + 1)
        until(lambda: player.leading.frame == player.frame)
        waits = []
        for frame in wanted:
            paints.done.clear()
            began_s = time.perf_counter()
            player.go_to(frame)
            until(lambda frame=frame: any(painted == frame for painted, _ in paints.done))
            waits.append((next(at for painted, at in paints.done if painted == frame) - began_s) * 1e3)
            until(lambda: False, 1 / 30)  # a held key
        print(name, "median, 95 % ms:", np.percentile(waits, (50, 95)).round(1))
    player.close_clips()
    player = make_player([folder / "first.mp4", folder / "second.mp4"])
    until(lambda: all(screen.canvas.frame is not None for screen in player.screens.all))
    paints_of = [Paints(screen.canvas) for screen in player.screens.all]
    player.set_speed(1.0)
    until(lambda: False, 0.5)
    ticks.clear()
    player.toggle_playing()
    until(lambda: not player.is_playing)
    for paints in paints_of:
        shown = sorted({frame for frame, _ in paints.done})
        print("two clips played: frames painted", len(shown), "of", player.playhead.n_frames)
    held_up_ms = loop.held_up_ms()
    print("longest hold-up of the window's thread while they played, ms by the clock, of its own work:", held_up_ms)
    print("peak memory, MB:", round(peak_mb()), "load", os.getloadavg()[0])
    player.close_clips()
    sys.stdout.flush()


if __name__ == "__main__":
    main()
