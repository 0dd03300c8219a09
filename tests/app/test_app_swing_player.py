"""The player shows the frame that was asked for: its number is read out of the widget's own picture."""

import time
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from numbered_clips import number_in, numbered_clip, shown_of
from PyQt5.QtCore import QPoint, QPointF, QRectF, Qt
from PyQt5.QtGui import QImage, QKeyEvent
from PyQt5.QtTest import QTest

from review.app.look import DARK, Look
from review.app.swing_view.player import SwingPlayer
from review.app.swing_view.player_keys import press
from review.body.series import Series
from review.errors import BadInputError
from review.lesson import KeyFrame
from review.media import FrameSource, ReviewCopy, write_review_copy

KEYS = (
    KeyFrame("address", 0.0, 12, 0.95, "pose"),
    KeyFrame("top", 0.0, 40, 0.6, "pose"),
    KeyFrame("impact", 0.0, 55, 0.99, "sound"),
    KeyFrame("finish", 0.0, 80, 0.9, "coach"),
)


@pytest.fixture
def make_player(qtbot, tmp_path):
    made = []

    def make(n_clips: int = 1, with_copy: bool = True, rates_hz=(60, 60)) -> SwingPlayer:
        clips = [numbered_clip(tmp_path / f"{i}.mp4", 100, rates_hz[i]) for i in range(n_clips)]
        shown = shown_of(clips, KEYS)

        def opener(clip):
            return lambda: open_source(Path(clip.clip.file), with_copy)

        player = SwingPlayer(shown, opener)
        qtbot.addWidget(player)
        player.set_look(Look.fit(DARK, 1366, 768))
        player.resize(1200, 700)
        player.show()
        made.append(player)
        qtbot.waitUntil(lambda: player.screens.all[-1].canvas.frame is not None, timeout=20_000)
        return player

    yield make
    for player in made:
        player.close_clips()


def open_source(path: Path, with_copy: bool) -> FrameSource:
    if not with_copy:
        return FrameSource(path)
    copy_map = write_review_copy(path, path.with_suffix(".copy"))
    return FrameSource(path, ReviewCopy(path.with_suffix(".copy"), copy_map))


def number_on(canvas) -> int:
    """Read the number out of what the widget paints."""
    image = canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
    bits = image.constBits()
    bits.setsize(image.sizeInBytes())
    rows = np.frombuffer(bits, np.uint8).reshape(image.height(), image.bytesPerLine())
    rgb = rows[:, : 3 * image.width()].reshape(image.height(), image.width(), 3)
    transform = canvas.placing.to_canvas(canvas._original, canvas_rect(canvas))
    return number_in(rgb, lambda x, y: (transform.map(QPointF(x, y)).x(), transform.map(QPointF(x, y)).y()))


def canvas_rect(canvas):
    return QRectF(canvas.rect())


def wait_for(qtbot, player: SwingPlayer, frame: int) -> None:
    qtbot.waitUntil(lambda: player.leading.frame == frame, timeout=10_000)


def hit(player: SwingPlayer, key, held=Qt.KeyboardModifier.NoModifier) -> bool:
    return press(player, QKeyEvent(QKeyEvent.Type.KeyPress, key, held))


@pytest.mark.parametrize("with_copy", [True, False])
def test_what_is_shown_is_the_frame_asked_for(qtbot, make_player, with_copy: bool) -> None:
    player = make_player(with_copy=with_copy)
    for frame in (37, 38, 39, 38, 0, 99, 50):
        player.go_to(frame)
        wait_for(qtbot, player, frame)
        assert number_on(player.leading) == frame


def test_steps_jumps_and_ends_by_keys(qtbot, make_player) -> None:
    player = make_player()
    went = [
        (Qt.Key.Key_Right, 1),
        (Qt.Key.Key_Right, 2),
        (Qt.Key.Key_Left, 1),
        (Qt.Key.Key_PageDown, 12),
        (Qt.Key.Key_PageDown, 40),
        (Qt.Key.Key_PageDown, 55),
        (Qt.Key.Key_PageUp, 40),
        (Qt.Key.Key_End, 99),
        (Qt.Key.Key_PageUp, 80),
        (Qt.Key.Key_Home, 0),
        (Qt.Key.Key_PageUp, 0),
    ]
    for key, frame in went:
        assert hit(player, key)
        wait_for(qtbot, player, frame)
        assert number_on(player.leading) == frame
    hit(player, Qt.Key.Key_Right, Qt.KeyboardModifier.ShiftModifier)
    wait_for(qtbot, player, 10)
    assert not hit(player, Qt.Key.Key_F9)


def test_number_is_still_read_enlarged_shifted_and_straightened(qtbot, make_player) -> None:
    player = make_player()
    player.go_to(77)
    wait_for(qtbot, player, 77)
    canvas = player.leading
    canvas.zoom(1.3, QPointF(canvas.width() / 2 + 20, canvas.height() / 2 - 10))
    hit(player, Qt.Key.Key_Left, Qt.KeyboardModifier.ControlModifier)
    for _ in range(4):
        hit(player, Qt.Key.Key_Period)
    assert canvas.placing.turn_deg == pytest.approx(2.0)
    assert canvas.placing.zoom == pytest.approx(1.3)
    assert number_on(canvas) == 77
    hit(player, Qt.Key.Key_0)
    assert canvas.placing.zoom == 1.0


def test_a_point_under_the_pointer_stays_when_enlarged(make_player) -> None:
    canvas = make_player().leading
    rect, about = canvas_rect(canvas), QPointF(150, 90)
    before, _ = canvas.placing.to_canvas(canvas._original, rect).inverted()
    canvas.zoom(2.0, about)
    after, _ = canvas.placing.to_canvas(canvas._original, rect).inverted()
    assert (before.map(about) - after.map(about)).manhattanLength() < 1e-6


def test_playing_shows_frames_in_order_and_only_true_ones(qtbot, make_player) -> None:
    player = make_player()
    hit(player, Qt.Key.Key_1)
    seen: list[tuple[int, int]] = []
    player.frame_shown.connect(lambda frame: seen.append((frame, number_on(player.leading))))
    hit(player, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: not player.is_playing, timeout=20_000)
    wait_for(qtbot, player, 99)
    assert len(seen) > 10  # grabbing takes time: not every frame comes
    assert all(frame == number for frame, number in seen)
    assert [frame for frame, _ in seen] == sorted(frame for frame, _ in seen)


def test_loop_between_two_key_frames(qtbot, make_player) -> None:
    player = make_player()
    hit(player, Qt.Key.Key_1)
    hit(player, Qt.Key.Key_L)
    assert player.playhead.loop == (12, 80)
    player.go_to(41)
    hit(player, Qt.Key.Key_BracketLeft)
    player.go_to(54)
    hit(player, Qt.Key.Key_BracketRight)
    assert player.playhead.loop == (40, 55)
    seen: list[int] = []
    player.frame_shown.connect(seen.append)
    hit(player, Qt.Key.Key_Space)
    qtbot.waitUntil(lambda: any(b < a for a, b in zip(seen, seen[1:], strict=False)), timeout=20_000)
    hit(player, Qt.Key.Key_Space)
    assert not player.is_playing
    assert all(40 <= frame <= 55 or frame == 54 for frame in seen)
    hit(player, Qt.Key.Key_L)
    assert player.playhead.loop is None


def test_both_cameras_show_the_same_moment(qtbot, make_player) -> None:
    player = make_player(2, rates_hz=(60, 30))  # both have impact at their frame 55
    player.go_to(67)
    first, second = (screen.canvas for screen in player.screens.all)
    qtbot.waitUntil(lambda: (first.frame, second.frame) == (67, 61), timeout=10_000)
    assert (number_on(first), number_on(second)) == (67, 61)
    hit(player, Qt.Key.Key_V)
    hit(player, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: (first.frame, second.frame) == (69, 62), timeout=10_000)
    assert (number_on(first), number_on(second)) == (69, 62)


def test_scrubbing_goes_where_the_pointer_is(qtbot, make_player) -> None:
    player = make_player()
    x = round(player.bar._x(33))
    QTest.mousePress(player.bar, Qt.MouseButton.LeftButton, pos=QPoint(x, 10))
    wait_for(qtbot, player, 33)
    assert number_on(player.leading) == 33


def test_address_lies_faintly_over_the_frame_and_goes_again(qtbot, make_player) -> None:
    player = make_player()
    player.go_to(90)
    wait_for(qtbot, player, 90)
    hit(player, Qt.Key.Key_A)
    qtbot.waitUntil(lambda: player.leading.has_ghost, timeout=10_000)
    assert player.leading.frame == 90
    hit(player, Qt.Key.Key_A)
    assert not player.leading.has_ghost
    assert number_on(player.leading) == 90


def test_the_interface_is_never_held_up(qtbot, make_player) -> None:
    """While frames are fetched from an original with one key frame, the window's own clock keeps ticking."""
    player = make_player(with_copy=False)
    player.go_to(99)
    began = time.perf_counter()
    player.go_to(3)
    player.go_to(95)
    assert time.perf_counter() - began < 1.0  # returns at once; a wait for decoding would be seen on any machine
    wait_for(qtbot, player, 95)
    assert number_on(player.leading) == 95


def test_a_clip_that_cannot_be_read_says_so_in_its_place(qtbot, tmp_path) -> None:
    clips = [numbered_clip(tmp_path / "0.mp4", 100, 60)]
    shown = shown_of(clips, KEYS)
    player = SwingPlayer(shown, lambda _: lambda: FrameSource(tmp_path / "gone.mp4"))
    qtbot.addWidget(player)
    qtbot.waitUntil(lambda: "gone.mp4" in player.leading.message, timeout=10_000)
    for key in (Qt.Key.Key_Right, Qt.Key.Key_Space, Qt.Key.Key_L, Qt.Key.Key_End):
        hit(player, key)  # nothing to show, nothing happens
    player.close_clips()


def test_one_of_two_clips_that_is_gone_leaves_the_other_to_be_looked_at(qtbot, tmp_path) -> None:
    clips = [numbered_clip(tmp_path / f"{i}.mp4", 100, 60) for i in range(2)]
    shown = shown_of(clips, KEYS)
    clips[0].unlink()
    player = SwingPlayer(shown, lambda clip: lambda: FrameSource(Path(clip.clip.file)))
    qtbot.addWidget(player)
    gone, there = (screen.canvas for screen in player.screens.all)
    qtbot.waitUntil(lambda: there.frame is not None and "0.mp4" in gone.message, timeout=10_000)
    assert player.leading is there
    hit(player, Qt.Key.Key_PageDown)
    qtbot.waitUntil(lambda: there.frame == 12, timeout=10_000)
    assert number_on(there) == 12
    hit(player, Qt.Key.Key_V)
    assert player.leading is there
    player.close_clips()


def test_a_frame_that_does_not_decode_is_told_and_others_are_shown(qtbot, tmp_path) -> None:
    class Hurt(FrameSource):
        def screen_frame(self, index: int):
            if index == 7:
                raise BadInputError("frame 7 does not decode")
            return super().screen_frame(index)

    clip = numbered_clip(tmp_path / "0.mp4", 100, 60)
    player = SwingPlayer(shown_of([clip], KEYS), lambda _: lambda: Hurt(clip))
    qtbot.addWidget(player)
    qtbot.waitUntil(lambda: player.leading.frame == 0, timeout=10_000)
    player.go_to(7)
    qtbot.waitUntil(lambda: player.leading.message == "frame 7 does not decode", timeout=10_000)
    player.step(1)
    wait_for(qtbot, player, 8)
    assert number_on(player.leading) == 8
    player.close_clips()


def test_line_numbers_and_curves_are_those_of_the_frame(qtbot, tmp_path) -> None:
    """A slow-motion clip whose hips turn one degree a frame: what is said and drawn belongs to the frame that is on."""
    clip = numbered_clip(tmp_path / "0.mp4", 100, 60)
    shown = shown_of([clip], KEYS)
    slow = replace(shown.clips[0], clip=replace(shown.clips[0].clip, time_scale=0.25))
    turn = np.arange(100.0) - 55.0
    nothing = np.zeros(100)
    series = Series(np.arange(100) / 60, turn, nothing, nothing, np.zeros(100, bool))
    shown = replace(shown, clips=(slow,), curves={"hip_turn_deg": series}, why_no_curves="")
    player = SwingPlayer(shown, lambda _: lambda: FrameSource(clip))
    qtbot.addWidget(player)
    player.set_look(Look.fit(DARK, 1366, 768))
    player.resize(1366, 768)
    player.show()  # curves are drawn where they have room
    qtbot.waitUntil(lambda: player.leading.frame is not None and len(player.curves.cursors_s) == 1, timeout=10_000)
    said_there = {12: "0°, as at address", 20: "turned away 35°", 55: "0°", 97: "open 42°"}  # address is frame 12
    for frame in said_there:
        player.go_to(frame)
        wait_for(qtbot, player, frame)
        (said,) = player.numbers.numbers
        assert said.words.startswith(said_there[frame])
        # 240 true frames a second; impact is frame 55
        assert player.curves.cursors_s == (pytest.approx((frame - 55) / 240),)
    player.curves.asked.emit((30 - 55) / 240)
    wait_for(qtbot, player, 30)
    assert number_on(player.leading) == 30
    player.close_clips()
