"""A talk's video shows what the coach saw: the window's own picture against the one made from what was noted."""

from dataclasses import replace

import numpy as np
import pytest
from PyQt5.QtGui import QImage
from waiting import PATIENCE_MS

from review.app.talk.seen import find_moment
from review.lesson import Drawing, DrawingKind, Handedness, KeyFrame
from review.library import Library
from review.pose import LandmarkTrack
from review.takehome.shown_frames import open_shown
from review.takehome.talk_picture import TalkedClip, compose


def make_track(n: int, width: int, height: int) -> LandmarkTrack:
    at = np.random.default_rng(3).uniform([0.25, 0.25], [0.75, 0.75], (33, 2)) * [width, height]
    points = np.concatenate([np.tile(at, (n, 1, 1)), np.zeros((n, 33, 1))], axis=2)
    time_s = np.arange(n) / 60
    return LandmarkTrack(time_s, points, np.zeros((n, 33, 3)), np.ones((n, 33)), width, height, "none", "made up")


@pytest.fixture
def page(qtbot, open_lesson, sample_library):
    """A swing of the sample lesson with made-up landmarks and an address that is another frame."""
    window = open_lesson(sample_library)
    window.state.open_swing(next(swing.id for swing in window.state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.is_ready, timeout=PATIENCE_MS)
    player = window.swing_page.player
    for screen in player.screens.all:
        size = screen.canvas.original
        track = make_track(len(screen.time_s), round(size.width()), round(size.height()))
        line = Drawing("d", DrawingKind.LINE, ((0.2, 0.2), (0.7, 0.3)), 0.0, 99.0, accent=1)
        key = KeyFrame("address", 2 / 60, 2, 1.0, "pose")
        screen.shown = replace(screen.shown, track=track, drawings=(line,), key_frames=(key,))
    return window.swing_page


def seen(page) -> np.ndarray:
    """The part of the canvas that the picture covers, as (h, w, 3)."""
    canvas = page.player.leading
    canvas.is_leading = False
    image = canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    bits = image.constBits()
    bits.setsize(image.sizeInBytes())
    lines = np.frombuffer(bits, np.uint8).reshape(image.height(), image.bytesPerLine())
    picture = lines[:, : 3 * image.width()].reshape(image.height(), image.width(), 3)
    wide = round(image.height() * canvas.aspect)
    left = max(0, (image.width() - wide) // 2)
    return picture[:, left : left + wide].astype(int)


@pytest.mark.parametrize(("lines", "ghost", "turn_deg"), [(True, False, 0), (True, True, 0), (False, True, 4)])
def test_what_was_seen_is_what_is_shown(page, sample_library, qtbot, lines, ghost, turn_deg):
    player = page.player
    player.go_to(40)
    qtbot.waitUntil(lambda: player.leading.frame == 40, timeout=PATIENCE_MS)
    player.screens.has_lines = lines
    player.leading.straighten(turn_deg)
    if ghost:
        player.screens.toggle_ghost()
        qtbot.waitUntil(lambda: player.leading.has_ghost, timeout=PATIENCE_MS)
    player.screens.redraw()
    screen = player.screens.all[player.playhead.lead]
    moment = find_moment(player, player.playhead, 0, "")
    assert (moment.with_body, moment.ghost, moment.turn_deg) == (lines, 2 if ghost else None, turn_deg)
    window = seen(page)
    with Library.open(sample_library, create=False) as library:
        footage = library.footage_of(screen.shown.clip)
    clip = TalkedClip(footage, None, Handedness.RIGHT, screen.shown.track)
    with open_shown(footage, None) as source:
        shown = compose(moment, clip, source, (window.shape[1], window.shape[0])).astype(int)
        plain = replace(moment, with_body=False, drawings=(), ghost=None, turn_deg=0.0)
        bare = compose(plain, clip, source, (window.shape[1], window.shape[0]))
    differ = (np.abs(window - shown).max(axis=2) > 60).mean()
    would = (np.abs(window - bare).max(axis=2) > 60).mean()
    assert differ < 0.5 * would  # dashes and edges are a pixel off here and there
    assert would > 0.005
