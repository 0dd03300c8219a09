"""Two swings side by side, as a coach works them: by keys, on the sample lesson and on clips of numbered frames."""

import shutil
from contextlib import contextmanager
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from keyed_lessons import KEYS_S, give_key_frames
from numbered_clips import numbered_clip, picture_of, shown_of
from PyQt5.QtCore import QPointF, QRectF, Qt
from PyQt5.QtGui import QImage
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.app.look import DARK, Look
from review.app.side_by_side.feet import Overlay
from review.app.side_by_side.pair_player import PairPlayer
from review.app.side_by_side.seen_through import SeenThrough
from review.app.swing_view.canvas import Canvas
from review.compare import choose_typical
from review.jobs.showing.pair import PairShown, SideShown
from review.lesson import Drawing, DrawingKind, KeyFrame, Lesson
from review.library import Library
from review.media import FrameSource

LOOK = Look.fit(DARK, 1366, 768)


def press(window, *keys) -> None:
    for key in keys:
        QTest.keyClick(window.pages.currentWidget(), key)


def open_page(qtbot, window):
    press(window, Qt.Key.Key_S)
    page = window.two_swings.page
    assert window.pages.currentWidget() is page
    qtbot.waitUntil(lambda: page.is_ready, timeout=PATIENCE_MS)
    return page


def wait_shown(qtbot, player) -> None:
    qtbot.waitUntil(lambda: player.shown_frames == player.frames != (), timeout=PATIENCE_MS)


@pytest.fixture(scope="module")
def keyed_library(sample_library, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("keyed") / "library"
    shutil.copytree(sample_library, folder)
    give_key_frames(folder)
    return folder


def test_from_the_chart_come_the_typical_swings_of_first_and_last_batch(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    page = open_page(qtbot, window)
    compared = window.state.comparison
    typical = [choose_typical(swings, {}, compared.lesson) for swings in (compared.first_swings, compared.last_swings)]
    assert [side.swing.id for side in page.pair.sides] == [swing.id for swing in typical]
    assert page.panel.change.text() == window.chart.said.change
    assert page.panel.verdict.text() == window.chart.said.verdict == "Clear"
    assert page.panel.interval.text().startswith("19 times of 20")
    assert compared.last.feel in page.panel.felt.text()
    assert "in-to-out" in page.panel.measured.text()
    press(window, Qt.Key.Key_M)
    assert page.panel.label.text().lower() != "club path"
    press(window, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart
    assert page.player is None
    window.state.step_measure(-1)


def test_one_control_steps_both_and_k_locks_both_at_the_next_key_frame(qtbot, open_lesson, keyed_library) -> None:
    window = open_lesson(keyed_library)
    page = open_page(qtbot, window)
    player = page.player
    assert player.place.text().startswith("locked at impact   0.000 s after impact   speed 1/4")

    def keys(name: str) -> tuple[int, ...]:
        return tuple(next(k.frame for k in clip.key_frames if k.name == name) for clip in player.clips)

    for name in ("impact", "finish", "address", "top"):
        wait_shown(qtbot, player)
        assert player.shown_frames == keys(name)
        press(window, Qt.Key.Key_K)
    wait_shown(qtbot, player)
    at = player.shown_frames
    press(window, Qt.Key.Key_Right, Qt.Key.Key_Right)
    wait_shown(qtbot, player)
    assert player.shown_frames == (at[0] + 2, at[1] + 2)
    press(window, Qt.Key.Key_PageUp)
    wait_shown(qtbot, player)
    assert player.shown_frames[player.lock.finer] == keys("impact")[player.lock.finer]
    press(window, Qt.Key.Key_8, Qt.Key.Key_L, Qt.Key.Key_Space)
    assert player.transport.is_playing
    assert player.transport.head.loop == (player.key_frames[0], player.key_frames[-1])
    press(window, Qt.Key.Key_Space)
    assert not player.transport.is_playing
    assert "speed 1/8" in player.place.text()


def test_stretched_says_that_time_is_altered(qtbot, open_lesson, keyed_library) -> None:
    page = open_page(qtbot, open_lesson(keyed_library))
    player = page.player
    assert "time altered" not in player.place.text() + player.screens.all[1].canvas.note
    QTest.keyClick(page, Qt.Key.Key_T)
    assert "time altered" in player.place.text()
    assert "time altered" in player.screens.all[1].canvas.note
    assert "time altered" not in player.screens.all[0].canvas.note
    QTest.keyClick(page, Qt.Key.Key_T)
    assert "time altered" not in player.place.text()


def test_another_swing_comes_to_the_chosen_side_by_keys_and_d_brings_the_typical_back(
    qtbot, open_lesson, sample_library
) -> None:
    window = open_lesson(sample_library)
    page = open_page(qtbot, window)
    first, last = (side.swing.id for side in page.pair.sides)
    filmed = [swing.id for swing in window.state.lesson.swings if swing.clips]
    press(window, Qt.Key.Key_Tab)
    assert page.side == 0
    with qtbot.waitSignal(page.pair_came, timeout=PATIENCE_MS):
        press(window, Qt.Key.Key_Down)
    # swings without a clip are passed over
    assert [side.swing.id for side in page.pair.sides] == [filmed[filmed.index(first) + 1], last]
    with qtbot.waitSignal(page.pair_came, timeout=PATIENCE_MS):
        press(window, Qt.Key.Key_D)
    assert [side.swing.id for side in page.pair.sides] == [first, last]


def test_without_landmarks_nothing_is_seen_through_and_the_reason_is_said(qtbot, open_lesson, sample_library) -> None:
    page = open_page(qtbot, open_lesson(sample_library))
    QTest.keyClick(page, Qt.Key.Key_O)
    assert page.player.through.isHidden()
    assert "measure the lesson first" in page.said.text()
    QTest.keyClick(page, Qt.Key.Key_Right)
    assert page.said.isHidden()


def test_a_lesson_without_clips_says_so(qtbot, open_lesson, sample_library, tmp_path) -> None:
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    with Library.open(folder) as library:
        for swing in library.swings(library.latest_lesson().id):
            for clip in swing.clips:
                library.remove_clip(clip.id)
    window = open_lesson(folder)
    press(window, Qt.Key.Key_S)
    page = window.two_swings.page
    qtbot.waitUntil(lambda: "no swing of this lesson has a clip" in page.said.text().lower(), timeout=PATIENCE_MS)
    press(window, Qt.Key.Key_Space, Qt.Key.Key_Right, Qt.Key.Key_V, Qt.Key.Key_O, Qt.Key.Key_Down, Qt.Key.Key_Escape)
    assert window.pages.currentWidget() is window.chart


def test_a_left_handers_change_is_said_in_his_words(qtbot, open_lesson, left_handed_library) -> None:
    page = open_page(qtbot, open_lesson(left_handed_library))
    # the same numbers, + right of target: out-to-in for a left-hander
    assert "out-to-in" in page.panel.first.text()
    assert "out-to-in" in page.panel.change.text()


def test_while_a_swing_is_on_the_page_stands_still(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    page = open_page(qtbot, window)
    press(window, Qt.Key.Key_8, Qt.Key.Key_L, Qt.Key.Key_Space)
    assert page.player.transport.is_playing
    window.two_swings.hold_still(True)
    assert not page.player.transport.is_playing


def test_closing_the_window_ends_the_threads(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    pumps = open_page(qtbot, window).player.screens.pumps
    window.close()
    assert not any(pump.is_running for pump in pumps)


# clips whose pictures carry their number


def make_pair(folder: Path, rates=(60, 30), keys=((40, 10), (25, 8)), same_view: bool = True) -> PairShown:
    """``keys`` are the frames of impact and top in both."""
    sides = []
    for i, (rate, (impact, top)) in enumerate(zip(rates, keys, strict=True)):
        named = (KeyFrame("top", 0.0, top, 1.0, "pose"), KeyFrame("impact", 0.0, impact, 1.0, "pose"))
        shown = shown_of([numbered_clip(folder / f"{i}.mp4", 60, rate)], named)
        clip = shown.clips[0]
        if i and not same_view:
            clip = replace(clip, view=None, clip=replace(clip.clip, view=None, camera="side"))
        sides.append(SideShown(replace(shown.swing, id=f"s{i}", order=i + 1), None, (clip,)))
    return PairShown(shown.pupil, Lesson("l", "p1", np.datetime64("2026-03-14").item()), *sides)


def open_numbered(shown):
    @contextmanager
    def opened():
        with FrameSource(shown.clip.file) as source:
            yield source

    return opened


@pytest.fixture
def play(qtbot):
    players = []

    def make(pair: PairShown) -> PairPlayer:
        player = PairPlayer(pair, (0, 0), open_numbered)
        players.append(player)
        qtbot.addWidget(player)
        player.set_look(LOOK)
        player.resize(900, 500)
        player.show()
        wait_shown(qtbot, player)
        return player

    yield make
    for player in players:
        player.close_clips()
        for pump in player.screens.pumps:
            pump.wait()


def read_numbers(player: PairPlayer) -> list[int]:
    """The numbers painted on both canvases, read off what the widget shows."""
    from numbered_clips import number_in

    numbers = []
    for screen in player.screens.all:
        canvas = screen.canvas
        image = canvas.grab().toImage().convertToFormat(QImage.Format.Format_RGB888)
        bits = image.constBits()
        bits.setsize(image.sizeInBytes())
        rgb = np.frombuffer(bits, np.uint8).reshape(image.height(), image.bytesPerLine())
        rgb = rgb[:, : 3 * image.width()].reshape(image.height(), image.width(), 3)
        way = canvas.placing.to_canvas(canvas.original, QRectF(canvas.rect()))

        def place(x: float, y: float, way=way) -> tuple[float, float]:
            point = way.map(QPointF(x, y))
            return point.x(), point.y()

        numbers.append(number_in(rgb, place))
    return numbers


def test_both_pictures_are_at_impact_at_the_same_time(qtbot, play, tmp_path) -> None:
    player = play(make_pair(tmp_path))
    assert read_numbers(player) == [40, 25]
    player.transport.step(8)  # 8 of 60 a second are 4 of 30
    wait_shown(qtbot, player)
    assert read_numbers(player) == [48, 29]
    player.relock("top")
    wait_shown(qtbot, player)
    assert read_numbers(player) == [10, 8]
    player.toggle_stretch()
    player.transport.go_to(40)  # stretched, both are at impact too
    wait_shown(qtbot, player)
    assert read_numbers(player) == [40, 25]


def test_played_both_pass_impact_together(qtbot, play, tmp_path) -> None:
    player = play(make_pair(tmp_path))
    pairs = set()
    player.transport.moved.connect(lambda: pairs.add(player.frames))
    player.transport.go_to(34)
    player.transport.set_speed(0.5)
    player.transport.toggle_playing()
    qtbot.waitUntil(lambda: not player.transport.is_playing, timeout=PATIENCE_MS)
    assert len(pairs) > 4
    for own, other in pairs:
        # true seconds after impact differ by half a picture of the slower clip at most, where both go on
        assert abs((own - 40) / 60 - (other - 25) / 30) <= 1 / 60 + 1e-9


def test_cameras_on_other_sides_are_shown_and_said_to_be(qtbot, play, tmp_path) -> None:
    player = play(make_pair(tmp_path, same_view=False))
    assert all("not filmed from the same side" in screen.canvas.note for screen in player.screens.all)
    refused = []
    player.refused.connect(refused.append)
    player.toggle_through()
    assert "same side" in refused[0]
    assert player.through.isHidden()


def test_what_was_drawn_lies_on_the_picture_while_it_is_on(qtbot, play, tmp_path) -> None:
    pair = make_pair(tmp_path)
    line = Drawing("d", DrawingKind.LINE, ((0.25, 0.5), (0.75, 0.5)), 0.5, 0.7)
    circle = Drawing("e", DrawingKind.CIRCLE, ((0.5, 0.5), (0.6, 0.5)), 0.0, 0.1)
    clip_id = pair.first.clips[0].clip.id
    player = play(replace(pair, first=replace(pair.first, drawings={clip_id: (line, circle)})))
    drawn = player.screens.all[0].canvas._lines
    assert [one.points_px for one in drawn] == [((80.0, 120.0), (240.0, 120.0))]  # frame 40 is at 0.667 s
    player.transport.go_to(0)
    wait_shown(qtbot, player)
    (around,) = player.screens.all[0].canvas._lines
    assert all(np.hypot(x - 160, y - 120) == pytest.approx(32) for x, y in around.points_px)


@pytest.mark.parametrize(("strength", "level"), [(0.0, 20), (1.0, 235), (0.5, 128)])
def test_one_is_seen_through_the_other_at_its_place(qtbot, strength: float, level: int) -> None:
    under, over = Canvas("a"), Canvas("b")
    for canvas, number in ((under, 0), (over, 127)):  # all blocks dark, all light
        rgb = picture_of(number)
        canvas.set_size(rgb.shape[1], rgb.shape[0])
        canvas.show_frame(0, np.dstack([rgb[..., ::-1], np.full(rgb.shape[:2], 255, np.uint8)]).copy())
        qtbot.addWidget(canvas)
    view = SeenThrough(under, over)
    qtbot.addWidget(view)
    view.resize(640, 480)
    # the second twice as large, its point (60, 100) on (70, 104) of the first
    view.placing = Overlay(2.0, 0.0, 70 - 120, 104 - 200)
    view.strength = strength
    image = view.grab().toImage()
    assert image.pixelColor(140, 208).red() == pytest.approx(level, abs=6)  # the first is shown twice as large


def test_strength_goes_by_key_and_stays_between_nothing_and_all(qtbot) -> None:
    view = SeenThrough(Canvas("a"), Canvas("b"))
    qtbot.addWidget(view)
    view.strengthen(0.125)
    assert view.strength == 0.625
    view.strengthen(5)
    assert view.strength == 1.0
    view.strengthen(-9)
    assert view.strength == 0.0


def test_key_frames_of_the_fixture_lie_inside_the_clips(keyed_library) -> None:
    with Library.open(keyed_library) as library:
        for swing in library.swings(library.latest_lesson().id):
            for clip in swing.clips:
                assert [k.name for k in library.key_frames(clip.id)] == list(KEYS_S)
