"""One damaged clip: the good one beside it is shown, and the swing's own page shows what the device measured."""

import shutil
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.jobs.showing.pair import show_pair
from review.library import Library


@pytest.fixture
def damaged(sample_library, tmp_path) -> tuple[Path, str, int]:
    """A library whose typical swing of the last batch has a clip that is no video any longer; its id and number."""
    folder = tmp_path / "library"
    shutil.copytree(sample_library, folder)
    with Library.open(folder) as library:
        lesson_id = library.latest_lesson().id
    swing = show_pair(folder, lesson_id).last.swing
    with Library.open(folder) as library:
        for clip in swing.clips:
            path = library.folder / clip.file
            path.chmod(0o644)
            path.write_bytes(b"no video" * 100)
    return folder, swing.id, swing.order


def test_the_good_clip_is_shown_side_by_side_and_to_the_pupil(qtbot, open_lesson, damaged) -> None:
    folder, _, order = damaged
    window = open_lesson(folder)
    QTest.keyClick(window.pages.currentWidget(), Qt.Key.Key_S)
    page = window.two_swings.page
    qtbot.waitUntil(lambda: page.player is not None and page.player.frames != (), timeout=PATIENCE_MS)
    good, bad = (screen.canvas for screen in page.player.screens.all)
    qtbot.waitUntil(lambda: good.frame is not None, timeout=PATIENCE_MS)
    assert bad.message == f"The clip of swing {order} cannot be read."
    at = good.frame
    QTest.keyClick(page, Qt.Key.Key_Right)
    qtbot.waitUntil(lambda: good.frame == at + 1, timeout=PATIENCE_MS)
    QTest.keyClick(page, Qt.Key.Key_F5)
    view = window.two_swings.view
    qtbot.waitUntil(lambda: view.player is not None and bool(view.player.frames) and view.is_ready, timeout=PATIENCE_MS)
    assert view.player.screens.all[0].canvas.frame is not None
    assert "cannot be shown" in view.player.screens.all[1].canvas.message


def test_its_own_page_shows_the_devices_numbers(qtbot, open_lesson, damaged) -> None:
    folder, swing_id, order = damaged
    window = open_lesson(folder)
    window.state.open_swing(swing_id)
    qtbot.waitUntil(lambda: window.swing_page is not None and window.swing_page.device.isVisible(), timeout=PATIENCE_MS)
    numbers = window.swing_page.device.numbers
    assert numbers[0].label == "Club path"
    swing = next(swing for swing in window.state.lesson.swings if swing.id == swing_id)
    path_deg = swing.shot.values["club_path_deg"]
    assert f"{abs(path_deg):.1f}" in numbers[0].words
    assert window.swing_page.player.screens.all[0].canvas.message == f"The clip of swing {order} cannot be read."
