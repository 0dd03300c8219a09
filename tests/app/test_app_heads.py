"""The head of a band says that its batch is still open and with which club, also where the band is narrow."""

from PyQt5.QtGui import QFontMetricsF

from review.app.lesson_chart.heads import title_of
from review.app.look import DARK, Look
from review.app.look.painting import font_of
from review.lesson import Batch

OPEN = Batch("b2", 2, club="7-iron", is_closed=False)


def test_what_does_not_fit_beside_the_name_stands_below(qapp):
    look = Look.fit(DARK, 1366, 768)

    def width_of(text, px):
        return QFontMetricsF(font_of(px, is_bold=px == look.plain_px)).horizontalAdvance(text) + 1

    whole = width_of("Batch 2, still open · 7-iron", look.plain_px)
    assert title_of(OPEN, whole, whole, look) == ("Batch 2, still open · 7-iron", ())
    both = width_of("still open · 7-iron", look.quiet_px)
    assert title_of(OPEN, both, both, look) == ("Batch 2", ("still open · 7-iron",))
    one = width_of("still open", look.quiet_px)
    assert title_of(OPEN, both, one, look) == ("Batch 2", ("still open", "7-iron"))


def test_a_closed_batch_without_a_club_is_its_name_alone(qapp):
    look = Look.fit(DARK, 1366, 768)
    assert title_of(Batch("b1", 1, is_closed=True), 200.0, 200.0, look) == ("Batch 1", ())
    assert title_of(Batch("b1", 1, is_closed=True), 20.0, 40.0, look) == ("1", ())
