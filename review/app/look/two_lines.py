"""Rows of a list in two lines: what it is, large, and more about it, small."""

from PyQt5.QtCore import QModelIndex, QSize, Qt
from PyQt5.QtGui import QColor, QPainter
from PyQt5.QtWidgets import QStyle, QStyledItemDelegate, QStyleOptionViewItem

from review.app.look.painting import break_lines, font_of, line_px, paint_lines
from review.app.look.theme import Look


class TwoLines(QStyledItemDelegate):
    """Paints the first line of an item large and the others small."""

    look: Look | None = None

    def sizeHint(self, option: QStyleOptionViewItem, index: QModelIndex) -> QSize:
        """As high as both lines with room around."""
        if self.look is None:
            return super().sizeHint(option, index)
        text = line_px(font_of(self.look.number_px)) + line_px(font_of(self.look.quiet_px))
        return QSize(100, round(text + 0.9 * self.look.quiet_px))

    def paint(self, painter: QPainter | None, option: QStyleOptionViewItem, index: QModelIndex) -> None:
        """Paint one item."""
        if painter is None or self.look is None:
            return
        look, place = self.look, option.rect
        is_chosen = bool(option.state & QStyle.StateFlag.State_Selected)
        has_keyboard = bool(option.state & QStyle.StateFlag.State_HasFocus)
        painter.save()
        if is_chosen:
            painter.fillRect(place, QColor(look.theme.raised))
            bar = place.adjusted(0, 0, round(0.3 * look.quiet_px) - place.width(), 0)
            painter.fillRect(bar, QColor(look.theme.accent if has_keyboard else look.theme.quiet_ink))
        first, _, more = str(index.data(Qt.ItemDataRole.DisplayRole)).partition("\n")
        x, width = place.left() + look.quiet_px, place.width() - 2.0 * look.quiet_px
        large, small = font_of(look.number_px), font_of(look.quiet_px)
        top = place.top() + 0.45 * look.quiet_px
        top = paint_lines(painter, break_lines(first, large, width, 1), large, look.theme.ink, x, top)
        paint_lines(painter, break_lines(more, small, width, 1), small, look.theme.quiet_ink, x, top)
        painter.restore()
