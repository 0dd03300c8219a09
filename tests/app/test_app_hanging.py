"""First against last beneath the chart: the first on the left, also where a batch lies in two places."""

import pytest
from shown_lessons import PATH, make_lesson, path

from review.app.lesson_chart.drawing import draw_measure
from review.app.lesson_chart.first_last import FirstLast
from review.app.lesson_chart.hanging import Hanging
from review.app.look import LIGHT, Look

SAID = FirstLast(1, 2, "4.0° in-to-out", "1.0° in-to-out", "3.0° less in-to-out", "", "Clear", "", True)


@pytest.mark.parametrize("batch_of", [[1, 1, 1, 2, 2, 2], [1, 2, 2, 2, 1, 1, 1, 1], [1, 2, 1, 2, 1, 2]])
def test_words_of_first_and_last_never_meet_or_change_sides(qtbot, batch_of):
    drawing = draw_measure(make_lesson([path(float(n)) for n in batch_of], batch_of), PATH)
    hanging = Hanging()
    qtbot.addWidget(hanging)
    hanging.resize(1366, 200)
    hanging.show_change(drawing, SAID, "", Look.fit(LIGHT, 1366, 768), 60.0)
    first, last = hanging._sides()
    assert 0 <= first[1] < first[2] < last[1] < last[2] <= hanging.width()
    assert not hanging.grab().isNull()
