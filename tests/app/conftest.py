import os
import shutil
from dataclasses import replace
from pathlib import Path

import pytest
from waiting import PATIENCE_MS

os.environ["QT_QPA_PLATFORM"] = "offscreen"  # before anything loads Qt

from review.app.look.choice import Choice
from review.app.pictures.views import add_sample
from review.app.start import make_application
from review.app.window import Window
from review.cli.main import main
from review.jobs.sample import find_sample_lesson
from review.lesson import Handedness
from review.library import Library


@pytest.fixture(scope="session")
def qapp():
    """The window's own application, with its fonts."""
    return make_application()


@pytest.fixture(scope="session")
def sample_library(tmp_path_factory) -> Path:
    """The sample lesson, added, its clips not measured."""
    return add_sample(tmp_path_factory.mktemp("window") / "library")


@pytest.fixture(scope="session")
def left_handed_library(tmp_path_factory) -> Path:
    """The same lesson as if the pupil swung from the other side."""
    folder = add_sample(tmp_path_factory.mktemp("left") / "library")
    with Library.open(folder) as library:
        for pupil in library.pupils():
            library.update_pupil(replace(pupil, handedness=Handedness.LEFT))
    return folder


@pytest.fixture
def open_window(qtbot):
    """Open a window on a library, its pupils read."""
    opened = []

    def open_on(library: Path) -> Window:
        window = Window(library, Choice())
        opened.append(window)
        window.show()
        with qtbot.waitSignal(window.state.pupils_changed, timeout=PATIENCE_MS):
            window.state.load_pupils()
        return window

    yield open_on
    for window in opened:
        window.close()
        window.deleteLater()


@pytest.fixture
def open_lesson(open_window, qtbot):
    """Open a window on the latest lesson of a library, compared."""

    def open_on(library: Path) -> Window:
        window = open_window(library)
        with qtbot.waitSignal(window.state.comparison_changed, timeout=PATIENCE_MS):
            window.state.open_lesson(window.state.pupils[0].lessons[0].id)
        return window

    return open_on


@pytest.fixture(scope="session")
def library_without_table(tmp_path_factory) -> Path:
    """A lesson of two clips and nothing else."""
    folder = tmp_path_factory.mktemp("bare") / "library"
    lesson = find_sample_lesson()
    clips = tmp_path_factory.mktemp("clips")
    for clip in sorted((lesson.parent / "clips").glob("*.mp4"))[:2]:
        shutil.copy(clip, clips)
    consent = ["--consent-by", "Pat Example", "--consent-for", "keep,measure,share"]
    asked = ["add", str(clips), "--pupil", "Pat Example", "--handed", "right", *consent, "--library", str(folder)]
    assert main(asked) == 0
    return folder
