"""Pens of plots: as wide on a fine screen as on a plain one."""

import pyqtgraph as pg
from PyQt5.QtCore import Qt
from PyQt5.QtGui import QPen
from PyQt5.QtWidgets import QWidget


def fine_pen(widget: QWidget, colour: str, width_px: float, style: Qt.PenStyle = Qt.PenStyle.SolidLine) -> QPen:
    """Make a pen ``width_px`` pixels of the window wide; a plot's own pens count pixels of the screen."""
    pen: QPen = pg.mkPen(colour, width=width_px * widget.devicePixelRatioF(), style=style)
    return pen
