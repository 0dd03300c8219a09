"""Every page of the window one after another, filled, for tests that look at all of them.

Pages of the table in ``other_pages`` are walked by themselves; what more a page can show stands in ``MORE``.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime

from PyQt5.QtCore import Qt
from PyQt5.QtTest import QTest
from PyQt5.QtWidgets import QWidget
from waiting import PATIENCE_MS

from review.app.other_pages import PAGES
from review.app.pages_by_name import name_page_on
from review.app.setups.holds import HoldsDraft
from review.app.setups.marking import STEPS
from review.app.window import Window
from review.body import Hold
from review.jobs.live import LiveRequest
from review.jobs.sample import find_sample_lesson
from review.lesson import Handedness

Settle = Callable[[], None]
_Key = Qt.Key


def _tables(window: Window, page, settle: Settle) -> Iterator[str]:
    page.open_table(find_sample_lesson().parent / "shots.csv")
    settle()
    for row in range(page.list.count()):
        page.list.setCurrentRow(row)
        yield f"line {row}"
    QTest.keyClick(page, _Key.Key_Return)
    yield "asked"


def _pupil(window: Window, page, settle: Settle) -> Iterator[str]:
    page.open_pupil(window.state.lesson.pupil.id)
    settle()
    yield "overview"
    for key, part in ((_Key.Key_E, "details"), (_Key.Key_C, "consent"), (_Key.Key_N, "note")):
        QTest.keyClick(page, key)
        yield part
        QTest.keyClick(page.parts.currentWidget(), _Key.Key_Escape)
        settle()
    QTest.keyClick(page, _Key.Key_Delete)
    settle()
    yield "forget"
    QTest.keyClick(page.parts.currentWidget(), _Key.Key_Escape)


def _house(window: Window, page, settle: Settle) -> Iterator[str]:
    page.rule.activated.emit(1)
    settle()
    yield "rule"
    page.folder.setText("")
    page.back_up()
    yield "asked for a folder"
    page.folder.setText(str(window.state.library))
    page.back_up()
    _wait_for(page)
    yield "refused"
    page.folder.setText(f"{window.state.library}-2")
    page.back_up()
    _wait_for(page)
    settle()
    yield "backed up"


def _wait_for(page) -> None:
    for _ in range(PATIENCE_MS // 20):
        if not page.is_working:
            return
        QTest.qWait(20)
    raise AssertionError("its work does not end")


def _years(window: Window, page, settle: Settle) -> Iterator[str]:
    page.open_pupil(window.state.lesson.pupil.id)
    settle()
    yield "read"
    for choice in page.history.choices[:3]:
        page.open_pupil(page.history.pupil.id, choice)
        settle()
        yield f"measure {choice[0]}"


def _phone_clip(window: Window, page, settle: Settle) -> Iterator[str]:
    page.open_pupil(window.state.lesson.pupil)
    yield "asked"
    page.file.setText("")
    page.measure()
    yield "no file named"
    page.open_pupil(replace(window.state.lesson.pupil, consent=None))
    yield "without consent"


def _search(window: Window, page, settle: Settle) -> Iterator[str]:
    for text in ("", "zzz", "a", "h", "t"):
        page.field.setText(text)
        settle()
        yield f"found {text}"


def _cameras(window: Window, page, settle: Settle) -> Iterator[str]:
    settle()
    for at in range(len(STEPS) + 1):
        page.desk.set_draft(type(page.desk.draft)(at=at))
        yield f"step {at}"
    page.panel.field.setText("x")
    page.take()
    yield "refused"


def _player(window: Window, page, settle: Settle) -> Iterator[str]:
    settle()
    holds = (Hold(0.0, 0.5, 0.0, None), Hold(0.6, 1.1, -20.0, -30.0))
    for at in range(4):
        page.desk.set_draft(HoldsDraft(holds, 1.8, 2.3, at=at))
        yield f"step {at}"
    page.desk.set_draft(HoldsDraft(holds, 1.8, 2.3, at=3))
    page.take()  # neither hips nor shoulders are said
    yield "refused"


def _mat(window: Window, page, settle: Settle) -> Iterator[str]:
    sample = find_sample_lesson().parent
    page.steps.line.setText(str(sample / "pressure_calibration.csv"))
    page.open_trace(sample / "pressure.csv")
    yield "reading"
    settle()
    yield "read"
    page.kept.emit()
    yield "asked"
    page.steps.line.setText(str(sample / "pressure.csv"))
    page.stance.setText("430")
    page.kept.emit()
    yield "refused"
    page.stance.setText("")
    page.kept.emit()
    settle()
    yield "steps refused"


MORE: dict[str, Callable[[Window, QWidget, Settle], Iterator[str]]] = {
    "tables": _tables,
    "pupil": _pupil,
    "house": _house,
    "mat": _mat,
    "cameras": _cameras,
    "player": _player,
    "years": _years,
    "phone_clip": _phone_clip,
    "search": _search,
}


def walk_pages(qtbot, window: Window) -> Iterator[tuple[str, QWidget]]:
    """Show every page of a window on which a lesson is open; yield its name and what shows it."""
    state = window.state

    def settle() -> None:
        qtbot.waitUntil(lambda: not len(state.line), timeout=PATIENCE_MS)

    settle()
    yield from _walk_chart(window)
    state.open_swing(next(swing.id for swing in state.lesson.swings if swing.clips))
    qtbot.waitUntil(lambda: window.swing_page.is_ready, timeout=PATIENCE_MS)
    yield "swing", window
    for key in (_Key.Key_T, _Key.Key_Return):
        QTest.keyClick(window.swing_page, key)
        yield "swing talked over", window
    QTest.keyClick(window.swing_page.talk.line, _Key.Key_Escape)
    window.swing_page.talk.drop()
    settle()
    for key in (_Key.Key_D, _Key.Key_L, _Key.Key_Escape, _Key.Key_Escape, _Key.Key_N, _Key.Key_Escape, _Key.Key_K):
        QTest.keyClick(window.focusWidget() or window.swing_page, key)
        yield "swing drawn on or marked", window
    assert name_page_on(window) == "swing"
    pair = window.two_swings.show_page()
    qtbot.waitUntil(lambda: pair.is_ready, timeout=PATIENCE_MS)
    for _ in state.lesson.keys:
        QTest.keyClick(pair, _Key.Key_M)
        settle()
        yield "pair", window
    for name in PAGES:
        page = window.others.show(name)
        settle()
        yield name, window
        if name in MORE:
            for part in MORE[name](window, page, settle):
                yield f"{name} {part}", window
    for name in ("", "chart", "swing", "pair", "live", "pupil", "settings"):
        window.keys_page.show_for(name)
        window.pages.setCurrentWidget(window.keys_page)
        yield "keys", window
    window.keys_page.show_all()
    yield "keys", window
    window.pages.setCurrentWidget(window.start_page)
    yield "pupils", window
    view = window.two_swings.show_view()
    settle()
    for _ in view.content.steps:
        QTest.keyClick(view, _Key.Key_PageDown)
        yield "pupil view", view
    view.leave()


def _walk_chart(window: Window) -> Iterator[tuple[str, QWidget]]:
    state, chart = window.state, window.chart
    for key in state.lesson.keys:
        state.choose_measures([key])
        yield "chart", window
    for swing in state.lesson.swings:
        state.choose_swing(swing.id)
        yield "chart", window
    state.choose_swing(next(swing.id for swing in state.lesson.swings if swing.batch_id))
    for key in (_Key.Key_E, _Key.Key_W, _Key.Key_Escape, _Key.Key_K, _Key.Key_Escape, _Key.Key_L, _Key.Key_Escape):
        QTest.keyClick(window.focusWidget() or chart, key)
        yield "put right", window
    for key in (_Key.Key_X, _Key.Key_Escape, _Key.Key_Q):
        QTest.keyClick(window.focusWidget() or chart, key)
        yield "put right", window
    chart.strip.voice.stop(drop=True)
    chart.strip.close_strip()


def walk_live(qtbot, window: Window, clips: str) -> Iterator[tuple[str, QWidget]]:
    """Begin a lesson in a library of its own and show what it asks for."""
    window.live.ask()
    qtbot.waitUntil(lambda: window.live.begin_page is not None, timeout=PATIENCE_MS)
    yield "begin", window
    request = LiveRequest("Robin Example", Handedness.RIGHT, folders=((clips, ""),), club="6-iron", body="none")
    window.live.begin(request, datetime(2026, 3, 14, 10), datetime.now)
    qtbot.waitUntil(lambda: window.live.is_on, timeout=PATIENCE_MS)
    window.live.show_page()
    yield "live", window
    page = window.live.page
    for key in (_Key.Key_W, _Key.Key_Escape, _Key.Key_K, _Key.Key_Escape, _Key.Key_X, _Key.Key_E, _Key.Key_Space):
        QTest.keyClick(window.focusWidget() or page, key)
        yield "live", window
    page.asks.ask_feel(window.state.lesson.lesson.batches[0])
    yield "live", window
