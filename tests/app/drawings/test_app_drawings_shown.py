"""What is kept with a clip lies over its picture in the swing view, and follows the body there."""

from dataclasses import replace
from pathlib import Path

import numpy as np
from numbered_clips import numbered_clip, shown_of

from review.app.look import DARK, Look
from review.app.swing_view.player import SwingPlayer
from review.lesson import Drawing, DrawingKind, KeyFrame
from review.media import FrameSource
from review.pose.track import LandmarkTrack

N = 60


def test_a_tied_line_moves_with_the_trail_heel_and_stays_when_body_lines_go(qtbot, tmp_path) -> None:
    path = numbered_clip(tmp_path / "0.mp4", N, 60)
    shown = shown_of([path], (KeyFrame("impact", 0.5, 30, 0.9, "pose"),))
    one = shown.clips[0]
    with FrameSource(path) as source:
        time_s, size = source.time_s, (source.width_px, source.height_px)
    image = np.full((N, 33, 3), np.nan)
    image[:, 30] = np.stack([50 + np.arange(N), np.full(N, 90.0), np.zeros(N)], axis=1)  # trail heel, right-hander
    track = LandmarkTrack(time_s, image, np.zeros((N, 33, 3)), np.ones((N, 33)), *size, "none", "made up")
    line = Drawing("d", DrawingKind.LINE, ((0.25, 0.5), (0.5, 0.5)), 0.0, 9.0, "", "trail heel", float(time_s[30]), 1)
    clip = replace(one, track=track, drawings=(line,))
    player = SwingPlayer(replace(shown, clips=(clip,)), lambda c: lambda: FrameSource(Path(c.clip.file)))
    qtbot.addWidget(player)
    player.set_look(Look.fit(DARK, 1366, 768))
    player.show()
    screens = player.screens
    canvas = screens.all[0].canvas
    try:
        qtbot.waitUntil(lambda: canvas.frame is not None, timeout=20_000)  # then it asks for nothing by itself
        for frame in (40, 12, 30):
            screens.ask([frame])
            qtbot.waitUntil(lambda frame=frame: canvas.frame == frame, timeout=20_000)
            (drawn,) = canvas._lines
            want = [(size[0] / 4 + frame - 30, size[1] / 2), (size[0] / 2 + frame - 30, size[1] / 2)]
            assert np.allclose(drawn.points_px, want)
        screens.toggle_lines()
        assert len(canvas._lines) == 1
    finally:
        player.close_clips()
