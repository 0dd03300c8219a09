"""Draws every view of the window, page by page, in all sizes and themes."""

import os
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

from PyQt5.QtCore import QEventLoop, QTimer
from PyQt5.QtWidgets import QWidget

from review.app.language import tr
from review.app.look import DARK, LIGHT
from review.app.look.choice import Choice
from review.app.pictures.drawings import draw_drawing
from review.app.pictures.ground import draw_ground_live
from review.app.pictures.live import draw_live
from review.app.pictures.marks import draw_mark
from review.app.pictures.others import draw_other_pages
from review.app.pictures.pair import draw_pair, draw_pupil_view
from review.app.pictures.setups import draw_setups
from review.app.pictures.voice import draw_talk, draw_voice
from review.app.start import make_application
from review.app.window import Window
from review.errors import BadInputError, MachineError
from review.jobs.sample import find_sample_lesson

SIZES_PX = ((1366, 768), (2560, 1440))
_PATIENCE_MS = 120_000


def draw_views(to: Path, library: Path | None = None) -> tuple[Path, ...]:
    """Draw every view of the last lesson of a library, or of the sample lesson, in both sizes and themes.

    Raises
    ------
    BadInputError
        When the library holds no lesson.
    MachineError
        When the folder cannot be written.
    """
    os.environ.setdefault("QT_QPA_PLATFORM", "offscreen")
    make_application()
    try:
        to.mkdir(parents=True, exist_ok=True)
    except OSError as error:
        raise MachineError(f"{to} cannot be made: {error.strerror}. Choose another folder.") from error
    if library is not None:
        return _draw_all(to, library)
    with tempfile.TemporaryDirectory() as folder:
        return _draw_all(to, add_sample(Path(folder) / "library"))


def add_sample(library: Path) -> Path:
    """Make a library that holds the sample lesson, its clips not measured."""
    from review.jobs.adding import add_lesson
    from review.jobs.lesson_file import read_lesson_file
    from review.library import Library

    with Library.open(library) as opened:
        add_lesson(opened, read_lesson_file(find_sample_lesson()))
    return library


def _draw_all(to: Path, library: Path) -> tuple[Path, ...]:
    window = Window(library, Choice())
    window.show()
    _wait_for(window, window.state.load_pupils)
    pupils = window.state.pupils or ()
    lessons = [lesson for shown in pupils for lesson in shown.lessons]
    if not lessons:
        raise BadInputError(f"There is no lesson in {library} to draw. Add one first.")
    drawn: list[Path] = []
    last = max(lessons, key=lambda lesson: lesson.held_on)

    def draw(name: str) -> None:
        for theme in (DARK, LIGHT):
            for width, height in SIZES_PX:
                window.resize(width, height)
                window.choose_look(Choice(theme.name, window.choice.text_size, window.choice.language))
                _wait_for(window, _settle)  # what is drawn beside the window follows its look
                drawn.append(save(window, to / f"{name}_{theme.name}_{width}.png"))

    draw("pupils")
    draw_other_pages(window, last.pupil_id, draw, lambda begin: _wait_for(window, begin))
    _wait_for(window, lambda: window.state.open_lesson(last.id))
    state = window.state
    draw("lesson_chart")
    if state.lesson is not None and state.lesson.swings:
        state.choose_swing(state.lesson.swings[2 % len(state.lesson.swings)].id)
        draw("lesson_chart_swing")
        if window.chart is not None:
            _wait_for(window, window.chart.put_right)
            draw("lesson_chart_put_right")
            draw_voice(window, draw, _wait_until)
            if window.chart.strip is not None:
                window.chart.strip.close_strip()
        state.stack(1)
        draw("lesson_chart_two_measures")
        state.stack(1)
        draw("lesson_chart_three_measures")
        state.choose_measures(state.measures[:1])
    filmed = [swing for swing in (state.lesson.swings if state.lesson is not None else ()) if swing.clips]
    if filmed:
        most = max(filmed, key=lambda swing: len(swing.clips))
        _wait_for(window, lambda: state.open_swing(most.id))
        _wait_until(lambda: window.swing_page is not None and window.swing_page.is_ready)
        draw("swing")
        draw_drawing(window, draw)
        draw_mark(window, draw)
        draw_talk(window, draw, _wait_until)
        window.leave_swing()
        draw_pair(window, draw, lambda begin: _wait_for(window, begin), _wait_until)
        drawn += draw_pupil_view(window, to, SIZES_PX, save, lambda begin: _wait_for(window, begin), _wait_until)
    _wait_for(window, lambda: window.others.ask("balls"))
    draw("balls")
    _wait_for(window, lambda: window.others.ask("ground"))
    draw("pressure")
    drawn += draw_ground_live(to, library, last.id, SIZES_PX, save)
    _wait_for(window, lambda: window.others.ask_mat(find_sample_lesson().parent / "pressure.csv"))
    draw("mat")
    draw_setups(window, draw, _wait_until)
    window.others.show("handing_out")
    draw("take_home")
    window.others.show("reading_errors")
    draw("reading_errors")
    window.keys_page.show_all()
    window.pages.setCurrentWidget(window.keys_page)
    draw("keys")
    window.others.show("settings")
    draw("settings")
    _wait_for(window, lambda: window.others.show("house"))
    draw("backup")
    window.pages.setCurrentWidget(window.chart)
    window.status.toggle()
    window.bar.say(
        tr("shots.csv could not be read: line 12 is not a number. Correct it or leave it empty, then add it again.")
    )
    draw("lesson_chart_message")
    window.close()
    drawn += draw_live(to, SIZES_PX, save, _wait_until)
    return tuple(drawn)


def save(widget: QWidget, path: Path) -> Path:
    """Save what a widget shows.

    Raises
    ------
    MachineError
        When the file cannot be written.
    """
    _settle()
    if not widget.grab().save(str(path), "PNG"):
        raise MachineError(f"{path} could not be written. Choose another folder, or make room.")
    return path


def _wait_for(window: Window, begin: Callable[[], object]) -> None:
    """Begin work beside the window and wait until the line is empty."""
    loop = QEventLoop()

    def look() -> None:
        if not len(window.state.line):
            loop.quit()

    window.state.line.changed.connect(look)
    QTimer.singleShot(_PATIENCE_MS, loop.quit)
    begin()
    if len(window.state.line):
        loop.exec()
    window.state.line.changed.disconnect(look)
    _settle()


def _wait_until(is_done: Callable[[], bool]) -> None:
    """Wait for what comes from a thread that is not in the line."""
    until_s = time.monotonic() + _PATIENCE_MS / 1000
    while not is_done() and time.monotonic() < until_s:
        _settle()
        time.sleep(0.01)


def _settle() -> None:
    """Let everything that was asked for be laid out and painted."""
    application = make_application()
    for _ in range(4):
        application.processEvents()
