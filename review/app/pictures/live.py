"""Pictures of a lesson that goes on: the sample's first balls played in, in a library of their own."""

import shutil
import tempfile
from collections.abc import Callable, Sequence
from datetime import datetime, timedelta
from pathlib import Path

from PyQt5.QtWidgets import QWidget

from review.app.look import DARK, LIGHT
from review.app.look.choice import Choice
from review.app.window import Window

_N_BALLS = 4
_LATE = timedelta(seconds=6)
"""So long after a strike its files are there."""
_CAMERA_AHEAD = timedelta(seconds=162)
"""So far the sample's camera is made to run ahead of this computer; its device then runs half a minute behind."""

WaitUntil = Callable[[Callable[[], bool]], None]
Save = Callable[[QWidget, Path], Path]


def draw_live(to: Path, sizes_px: Sequence[tuple[int, int]], save: Save, wait_until: WaitUntil) -> list[Path]:
    """Draw the page of a lesson that goes on after four balls in two batches, and what a new batch asks for."""
    with tempfile.TemporaryDirectory() as folder:
        window = Window(_make_library(Path(folder)), Choice())
        window.show()
        try:
            _play(window, Path(folder), wait_until)
            return _draw(window, to, sizes_px, save, wait_until)
        finally:
            window.close()


def _make_library(folder: Path) -> Path:
    from review.library import Library

    (folder / "clips").mkdir()
    Library.open(folder / "library").close()
    return folder / "library"


def _play(window: Window, folder: Path, wait_until: WaitUntil) -> None:
    from review.jobs.live import LiveRequest
    from review.jobs.sample import find_sample_lesson
    from review.lesson import AimMeasure, Handedness

    sample = find_sample_lesson().parent
    clips = [path for path in sorted((sample / "clips").glob("*.mp4")) if path.stem.count("_") == 1][:_N_BALLS]
    header, *rows = (sample / "shots.csv").read_text(encoding="utf-8").splitlines()
    at = [datetime.strptime(clip.stem, "%Y%m%d_%H%M%S") - _CAMERA_AHEAD + _LATE for clip in clips]
    now = [at[0] - timedelta(minutes=3)]
    table = folder / "shots.csv"
    request = LiveRequest(
        "Robin Example",
        Handedness.RIGHT,
        folders=((str(folder / "clips"), ""),),
        table=table,
        aim_measures=tuple(AimMeasure(name) for name in ("club_path_deg", "face_angle_deg", "spin_axis_deg")),
        club="6-iron",
        body="none",
    )
    window.live.begin(request, now[0], lambda: now[0])
    wait_until(lambda: window.live.is_on)
    page, state = window.live.page, window.state
    if page is None:
        return
    for n, clip in enumerate(clips):
        if n == _N_BALLS // 2:
            page.deeds.start_batch()
            wait_until(lambda: state.lesson is not None and len(state.lesson.lesson.batches) == 2)
            wait_until(lambda: not page.form.isHidden())
            page.form.hide()
        now[0] = max(now[0], at[n])
        table.write_text("\n".join([header, *rows[: n + 1], ""]), encoding="utf-8")
        shutil.copyfile(clip, folder / "clips" / clip.name)
        wait_until(lambda n=n: _count_whole(window) == n + 1)  # type: ignore[misc]


def _count_whole(window: Window) -> int:
    """Swings that have both their clip and their row."""
    shown = window.state.lesson
    return 0 if shown is None else sum(bool(swing.clips) and swing.shot is not None for swing in shown.swings)


def _draw(
    window: Window, to: Path, sizes_px: Sequence[tuple[int, int]], save: Save, wait_until: WaitUntil
) -> list[Path]:
    page, drawn = window.live.page, []
    if page is None:
        return []
    window.live.show_page()
    page.newest.set_swing_on(False)
    wait_until(lambda: page.newest.canvas.frame is not None)
    for name in ("live", "live_feel"):
        if name == "live_feel" and window.state.lesson is not None:
            page.asks.ask_feel(window.state.lesson.lesson.batches[0])
        for theme in (DARK, LIGHT):
            for width, height in sizes_px:
                window.resize(width, height)
                window.choose_look(Choice(theme.name))
                drawn.append(save(window, to / f"{name}_{theme.name}_{width}.png"))
    return drawn
