"""Two clips of two swings played in step, side by side and one seen through the other; run by hand.

    python -m tests.benchmarks.pair_window FOLDER

FOLDER is that of ``tests.benchmarks.player``, which makes clips and copies. The window is 1366x768, not on a screen:
painting is done, showing is not. A picture is late when it was not painted before the next one was due.
"""

import argparse
import os
import sys
import time
from datetime import date
from pathlib import Path

os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")


from review.app.look import DARK, Look
from review.app.side_by_side.feet import Overlay
from review.app.side_by_side.pair_player import PairPlayer
from review.jobs.showing.pair import PairShown, SideShown
from review.jobs.showing.swing import ClipShown
from review.lesson import Clip, Handedness, KeyFrame, Lesson, Pupil, Swing, View
from tests.benchmarks.player import open_source
from tests.benchmarks.player_window import Paints
from tests.benchmarks.window_loop import WindowLoop

RATE_HZ = 60


def make_player(folder: Path) -> PairPlayer:
    sides = []
    for n, name in enumerate(("first", "second"), start=1):
        key = KeyFrame("impact", 2.0 + n / RATE_HZ, 120 + n, 1.0, "sound")
        clip = Clip(name, "0" * 64, str(folder / f"{name}.mp4"), name, view=View.FACE_ON)
        swing = Swing(f"s{n}", n, clips=(clip,))
        sides.append(SideShown(swing, None, (ClipShown(clip, View.FACE_ON, (key,), None),)))
    pair = PairShown(Pupil("p", "Benchmark", Handedness.RIGHT), Lesson("l", "p", date(2026, 3, 14)), *sides)
    player = PairPlayer(pair, (0, 0), lambda one: lambda: open_source(Path(one.clip.file), with_copy=True))
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

    player = make_player(folder)
    until(lambda: None not in player.shown_frames)
    for name in ("side by side", "seen through"):
        if name == "seen through":
            player.through.placing = Overlay(1.02, 0.01, -5.0, 3.0)
            player.screens.hide()
            player.through.show()
        player.transport.go_to(0)
        player.transport.set_speed(1.0)
        until(lambda: player.shown_frames == player.frames)
        until(lambda: False, 0.5)
        paints_of = [Paints(screen.canvas) for screen in player.screens.all]
        through = Paints(player.through)
        player.through.frame = None
        both: list[tuple[int | None, ...]] = []
        player.screens.frame_shown.connect(
            lambda *_, both=both: both.append((player.shown_frames, time.perf_counter()))
        )
        ticks.clear()
        cpu_s, began_s = time.process_time(), time.perf_counter()
        player.transport.toggle_playing()
        until(lambda: not player.transport.is_playing)
        until(lambda: player.shown_frames == player.frames)
        lasted_s = time.perf_counter() - began_s
        head = player.transport.head
        assert head is not None
        if name == "side by side":
            for paints in paints_of:
                print(name, "frames painted:", len({frame for frame, _ in paints.done}), "of", head.n_frames)
        else:
            print(name, "paintings:", len(through.done), "pairs of frames fetched:", len(set(both)))
        held_up_ms = loop.held_up_ms()
        share = 100 * (time.process_time() - cpu_s) / lasted_s
        print(name, "longest hold-up of the window, ms by the clock, of its own work:", held_up_ms.round(1))
        print(name, "processor, % of one core:", round(share), "load", round(os.getloadavg()[0], 1))
    player.close_clips()
    sys.stdout.flush()


if __name__ == "__main__":
    main()
