"""Larger text on the lesson chart: the lines of what was felt go before the chart or what changed is cut."""

from datetime import date

from PyQt5.QtWidgets import QPushButton, QVBoxLayout, QWidget
from waiting import PATIENCE_MS

from review.app.language import speak
from review.app.look import DARK, Look, make_style
from review.app.look.choice import Choice
from review.app.look.theme import TEXT_SIZES
from review.app.pupils.consent_form import ConsentForm
from review.app.voice import recorder
from review.lesson import Handedness, Pupil, VoiceOf
from tests.made_voices import MadeDevices


def test_feels_give_way_first(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    chart, lines, plots = window.chart, [], []
    for size in (1.0, 1.3, 1.6):
        chart.set_look(Look.fit(DARK, 1366, 768, size))
        qtbot.waitUntil(lambda: chart._hanging.height() == chart._hanging.sizeHint().height(), timeout=5000)
        lines.append(chart._heads._feel_lines)
        plots.append(chart._rows[0].height())
        assert chart._hanging.geometry().bottom() <= chart.height()
    assert lines[0] == 3
    assert lines[0] > lines[1] >= lines[2]
    assert min(plots) > 200


def test_buttons_of_the_set_up_pages_show_all_their_words_and_lie_beneath_the_mark(qtbot, open_lesson, sample_library):
    window = open_lesson(sample_library)
    window.resize(1366, 768)
    window.choose_look(Choice(text_size=TEXT_SIZES[-1], language="de"))
    try:
        for name in ("cameras", "player"):
            page = window.others.show(name)
            qtbot.waitUntil(lambda: not len(window.state.line), timeout=PATIENCE_MS)
            page.panel.layout().activate()
            buttons = page.panel.findChildren(QPushButton)
            assert len(buttons) >= 6
            for button in buttons:
                assert button.fontMetrics().horizontalAdvance(button.text()) <= button.width() - 12, button.text()
                if page.panel.magnifier.isVisible():
                    assert button.geometry().top() > page.panel.magnifier.geometry().bottom()
    finally:
        speak("en")


def test_the_chart_keeps_room_while_a_cue_is_spoken(qtbot, open_lesson, sample_library, monkeypatch):
    monkeypatch.setattr(recorder, "open_devices", MadeDevices)
    window = open_lesson(sample_library)
    window.resize(1366, 768)
    window.choose_look(Choice(text_size=TEXT_SIZES[-1]))
    window.state.choose_swing(window.state.lesson.swings[0].id)
    window.chart.put_right()
    strip = window.chart.strip
    strip.voice.press(window.state.lesson.lesson.batches[0], VoiceOf.CUE)
    qtbot.waitUntil(lambda: strip.voice.recorder.recording is not None, timeout=PATIENCE_MS)
    assert strip._hint.isHidden()  # its own keys are said
    strip.voice.stop(drop=True)
    strip.voice.close_strip()
    assert not strip._hint.isHidden()
    qtbot.waitUntil(lambda: not strip.voice.recorder.is_busy, timeout=PATIENCE_MS)


def test_a_form_in_a_low_window_is_gone_down_not_pressed_together(qtbot):
    speak("de")
    try:
        form, page = ConsentForm(), QWidget()
        page.setStyleSheet(make_style(Look.fit(DARK, 800, 480, TEXT_SIZES[-1])))
        QVBoxLayout(page).addWidget(form)
        qtbot.addWidget(page)
        page.resize(720, 420)
        name = "Wilhelmina-Alexandra von Hohenlohe-Schillingsfürst zu Waldenburg und Langenburg"
        form.show_pupil(Pupil("p", name, Handedness.RIGHT, is_minor=True, guardian=name), date(2026, 3, 14))
        page.show()
        ticks = list(form.purposes.values())
        qtbot.waitUntil(lambda: all(one.height() >= one.sizeHint().height() for one in ticks), timeout=PATIENCE_MS)
        assert form.on_record.height() >= form.on_record.heightForWidth(form.on_record.width())
        form.until.setFocus()
        qtbot.waitUntil(lambda: form.until.visibleRegion().boundingRect().height() == form.until.height())
    finally:
        speak("en")


def test_first_against_last_goes_where_nothing_could_be_read_in_a_plot(qtbot, open_lesson, sample_library) -> None:
    window = open_lesson(sample_library)
    chart, state = window.chart, window.state
    for _ in range(2):
        state.stack(1)
    for width, height, has_room in ((1366, 768, True), (800, 480, False)):
        window.resize(width, height)
        window.choose_look(Choice(text_size=1.0 if has_room else TEXT_SIZES[-1]))
        qtbot.waitUntil(lambda shown=has_room: chart._hanging.isVisible() is shown, timeout=PATIENCE_MS)
        qtbot.waitUntil(lambda: min(row.plot.height() for row in chart._rows) >= window.look.quiet_px)
