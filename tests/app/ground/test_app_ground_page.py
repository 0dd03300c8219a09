"""The page of the pressure: picture and words of the sample lesson, live on the whole screen and back."""

import json
from pathlib import Path

import pytest
from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from waiting import PATIENCE_MS

from review.app.ground.page import GroundPage
from review.app.ground.words import say_batch
from review.app.look import LIGHT, Look
from review.app.state import ReviewState
from review.body.foot import QUICK
from review.jobs.adding import add_lesson
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pressure.showing import BatchFeet, average_foot
from review.lesson import Bound, Handedness, KeyFrame, Measure
from review.library import Library

SAMPLE = Path(__file__).parents[3] / "sample_clips"


@pytest.fixture(scope="module")
def sample(tmp_path_factory):
    """The sample lesson with true key frames and two numbers of the trail foot."""
    truth = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))
    keys = {Path(clip["file"]).name: clip["key_frames_s"] for clip in truth["clips"]}
    folder = tmp_path_factory.mktemp("ground") / "library"
    with Library.open(folder) as library:
        lesson = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml")).lesson
        for swing in library.swings(lesson.id):
            for clip in swing.clips:
                times = (keys[clip.original_name] | {"arm level": keys[clip.original_name]["impact"] - 0.08}).items()
                library.set_key_frames(clip.id, [KeyFrame(n, t, round(60 * t), 1.0, "pose") for n, t in times])
            library.set_measures(
                swing.id,
                [
                    Measure("trail_foot_twist_deg", 4.0, "impact"),
                    Measure("heel_off_ms", float("nan"), why_missing=QUICK),
                ],
                "pose",
            )
    return folder, lesson.id


@pytest.fixture
def page(qtbot, sample):
    state = ReviewState(sample[0])
    page = GroundPage(state)
    qtbot.addWidget(page)
    page.resize(1366, 700)
    page.set_look(Look.fit(LIGHT, 1366, 768))
    page.show()
    with qtbot.waitSignal(page.drawn, timeout=PATIENCE_MS):
        state.open_lesson(sample[1])
    yield page
    page.finish()
    state.line.close()


def test_the_picture_and_what_each_batch_does(page):
    said = page.said.text()
    assert "Batch 1: hardly moves between arm level and impact, or it cannot be told" in said
    assert "Trail-foot twist toe turned 4° toward target" in said
    assert "Heel-off: the quick run cannot tell it" in said
    assert page.picture.pixmap().width() > 300


def test_live_fills_the_screen_and_esc_comes_back(page, tmp_path, qtbot):
    table = tmp_path / "live.csv"
    table.write_text("time,x [cm],y [cm],force [N]\n0,3,4,600\n", encoding="utf-8")
    page.go_live(table)
    assert page.isFullScreen()
    assert page.live.isVisible()
    qtbot.waitUntil(lambda: "held" in page.live.accessibleDescription(), timeout=PATIENCE_MS)
    QTest.keyClick(page.live, Qt.Key.Key_Escape)
    assert page.live is None
    assert not page.isFullScreen()


def test_means_of_the_foot_leave_out_bounds_and_what_is_missing():
    swings = [
        (Measure("trail_foot_slip_cm", 2.0), Measure("heel_off_ms", 90.0)),
        (Measure("trail_foot_slip_cm", 4.0), Measure("heel_off_ms", 50.0, bound=Bound.AT_LEAST)),
        (Measure("trail_foot_slip_cm", float("nan"), why_missing="the foot was hidden"),),
    ]
    assert average_foot(swings) == (("trail_foot_slip_cm", 3.0, 2), ("heel_off_ms", 90.0, 1))


def test_words_of_a_batch():
    batch = BatchFeet(3, 6, "keeps moving toward the target until impact (6 of 6)", (("heel_off_ms", 92.0, 5),))
    said = say_batch(batch, Handedness.RIGHT)
    assert said == (
        "Batch 3: keeps moving toward the target until impact (6 of 6). Heel-off 92 ms before impact (means of 5 shots)"
    )
