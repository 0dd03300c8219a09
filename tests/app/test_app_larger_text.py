"""Larger text on the lesson chart: the lines of what was felt go before the chart or what changed is cut."""

from review.app.look import DARK, Look


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
