"""A player's set-up made in the window, by keyboard and by mouse; the same as the command line's from a file."""

import shutil
from concurrent.futures import Future
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.cli.main import main
from review.jobs.measuring import accuracy, apart, player_marking
from review.jobs.measuring.player_files import parse_player_setup, read_player_setup
from review.jobs.measuring.whole_lesson import LessonMeasured
from review.lesson import Handedness
from review.library import Library
from review.pose import LandmarkTrack

ROOT = Path(__file__).parents[3]
_Key = Qt.Key
EVERY_FRAMES, HELD_FRAMES = 33, 30
"""Five holds of half a second fit into a sample clip of 60 frames a second."""


@pytest.fixture
def marks(monkeypatch):
    """Rendered holds as if found in whichever clip, in the place of the pose model alone; their true turns."""
    with np.load(ROOT / "tests" / "data" / "rendered_holds.npz") as data:
        rendered = dict(data)
    number = rendered["hold_of"].astype(int)
    chosen = number < 5
    number = number[chosen]
    rank = np.concatenate([np.arange((number == i).sum()) for i in range(5)])
    time_s = number * EVERY_FRAMES / 60 + 0.02 + rank * 0.1
    image, world = (rendered[f"hold_{name}"].astype(float)[chosen] for name in ("image_px", "world_m"))
    width, height = (int(v) for v in rendered["size_px"])

    def track(info, holds, estimator, progress):
        return LandmarkTrack(
            time_s, image, world, np.ones((len(time_s), 33)), width, height, estimator.key.split("-")[1], "tracked"
        )

    def run_here(tasks, lengths, progress, ended):
        for key, task in tasks.items():
            future: Future = Future()
            future.set_result(task(progress))
            ended(key, future)

    monkeypatch.setattr(accuracy, "_track_holds", track)
    monkeypatch.setattr(player_marking, "run_apart", run_here)
    turns = [
        [round(float(rendered[f"hold_{line}_turn_deg"][chosen][number == i].mean()), 1) for i in range(5)]
        for line in ("hip", "shoulder")
    ]
    return [(round(h - turns[0][0], 1), round(s - turns[1][0], 1)) for h, s in zip(*turns, strict=True)]


@pytest.fixture
def opened(qtbot, open_lesson, sample_library, tmp_path):
    window = open_lesson(shutil.copytree(sample_library, tmp_path / "library"))
    QTest.keyClick(window.chart, _Key.Key_H)
    qtbot.waitUntil(lambda: window.others.find("player") is not None, timeout=PATIENCE_MS)
    page = window.others.find("player")
    settle(qtbot, window)
    qtbot.waitUntil(lambda: page.still.frame is not None, timeout=PATIENCE_MS)
    return window, page


def settle(qtbot, window):
    qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)


def hold(page, number, hips, shoulders, take):
    page.go_to(round(number * EVERY_FRAMES))
    take()
    page.go_to(round(number * EVERY_FRAMES) + HELD_FRAMES)
    take()
    for turn in (hips, shoulders):
        page.panel.field.clear()
        QTest.keyClicks(page.panel.field, str(turn))
        take()


def kept(window):
    with Library.open(window.state.library) as library:
        found = library.player_setups(window.state.lesson.lesson.id)
    return {(place, parse_player_setup(text, "x").model): parse_player_setup(text, "x") for place, _, text in found}


def test_r_keeps_what_the_command_line_keeps_of_the_same_holds_and_is_undone(qtbot, opened, marks, tmp_path):
    window, page = opened
    assert not page.read_button.isEnabled()
    field = page.panel.field

    def take():
        QTest.keyClick(page if field.isHidden() else field, _Key.Key_Return)

    for number, turns in enumerate(marks):
        hold(page, number, *turns, take)
    assert [one.from_s for one in page.desk.draft.holds] == pytest.approx([0.55 * n for n in range(5)], abs=1e-3)
    assert page.read_button.isEnabled()
    QTest.keyClick(page, _Key.Key_R)
    settle(qtbot, window)
    in_window = kept(window)
    assert in_window, page.panel.refusal.text() + page.panel.found.text()
    assert "Kept" in page.panel.found.text()

    clip, (place, _) = page.desk.clip, next(iter(in_window))
    file = tmp_path / "holds.toml"
    file.write_text(
        "".join(
            f"[[hold]]\nfrom_s = {n * 0.55}\nto_s = {n * 0.55 + 0.5}\nhip_turn_deg = {h}\nshoulder_turn_deg = {s}\n"
            for n, (h, s) in enumerate(marks)
        ),
        encoding="utf-8",
    )
    path = ROOT / "sample_clips" / "clips" / clip.original_name
    by_file = {}
    for way in ([], ["--quick"]):
        to = tmp_path / f"setup{len(way)}.json"
        asked = ["check-accuracy", str(path), "--holds", str(file), "--handed", "right", "--save", str(to), *way]
        assert main(asked) in (0, 1)
        if to.exists():
            setup = read_player_setup(to)
            by_file[place, setup.model] = setup
    assert {key: replace(one, name="") for key, one in in_window.items()} == {
        key: replace(one, name="") for key, one in by_file.items()
    }
    assert next(iter(in_window.values())).handedness is Handedness.RIGHT

    window.state.undo()
    settle(qtbot, window)
    assert kept(window) == {}
    window.state.redo()
    settle(qtbot, window)
    assert kept(window) == in_window


def test_by_mouse_and_what_cannot_be_is_refused_in_words(qtbot, opened, marks):
    window, page = opened

    def take():
        QTest.mouseClick(page.take_button, Qt.MouseButton.LeftButton)

    page.go_to(0)
    take()
    page.go_to(12)
    take()
    assert page.panel.refusal.text().startswith("Not kept: 0.20 s is too short")
    QTest.mouseClick(page.back_button, Qt.MouseButton.LeftButton)
    for number, turns in enumerate(marks[:4]):
        hold(page, number, *turns, take)
    hold(page, 3.5, -10, -10, take)  # within the fourth
    assert page.read_button.isEnabled()
    QTest.mouseClick(page.read_button, Qt.MouseButton.LeftButton)
    settle(qtbot, window)
    assert "overlap; correct the times" in page.panel.refusal.text()
    assert not page.desk.is_reading
    assert kept(window) == {}
    page.panel.list.setCurrentRow(4)
    QTest.keyClick(page, _Key.Key_Delete)
    assert len(page.desk.draft.holds) == 4
    assert page.panel.refusal.text() == ""


@pytest.mark.parametrize(("is_refused", "is_bar"), [(True, True), (False, False)])
def test_what_measuring_has_to_say_is_said(qtbot, opened, monkeypatch, is_refused, is_bar):
    window, page = opened
    said = LessonMeasured(1, 0, {}, ("The player set-up held was not used: another camera.",), is_refused)
    monkeypatch.setattr(apart, "measure_apart", lambda *args, **more: said)
    heard = {True: [], False: []}
    window.state.trouble_came.connect(heard[True].append)
    window.state.step_told.connect(heard[False].append)
    QTest.keyClick(page, _Key.Key_M)
    qtbot.waitUntil(lambda: any(heard.values()), timeout=PATIENCE_MS)
    assert heard == {is_bar: list(said.notes), not is_bar: []}
    assert window.bar.isHidden() is not is_bar
