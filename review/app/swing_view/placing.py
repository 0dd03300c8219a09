"""Where a picture stands on the canvas: fitted, enlarged, shifted, straightened."""

from dataclasses import dataclass, replace

from PyQt5.QtCore import QPointF, QRectF, QSizeF
from PyQt5.QtGui import QTransform

MOST_ZOOM = 8.0


@dataclass(frozen=True)
class Placing:
    """``zoom`` 1 = the whole picture; ``pan_x``, ``pan_y`` in widths of the fitted picture; ``turn_deg`` clockwise."""

    zoom: float = 1.0
    pan_x: float = 0.0
    pan_y: float = 0.0
    turn_deg: float = 0.0

    def to_canvas(self, picture: QSizeF, place: QRectF) -> QTransform:
        """The way from pixels of the picture to those of the canvas."""
        fit = min(place.width() / picture.width(), place.height() / picture.height())
        width = fit * picture.width()
        transform = QTransform()
        transform.translate(place.center().x() + self.pan_x * width, place.center().y() + self.pan_y * width)
        transform.rotate(self.turn_deg)
        transform.scale(fit * self.zoom, fit * self.zoom)
        transform.translate(-picture.width() / 2, -picture.height() / 2)
        return transform

    def zoomed(self, by: float, picture: QSizeF, place: QRectF, about: QPointF | None = None) -> "Placing":
        """Enlarged so many times more; the point ``about`` of the canvas stays where it is."""
        zoom = min(max(self.zoom * by, 1.0), MOST_ZOOM)
        if zoom == 1.0:
            return Placing(turn_deg=self.turn_deg)
        wider = replace(self, zoom=zoom)
        if about is None:
            about = place.center()
        inverse, _ = self.to_canvas(picture, place).inverted()
        moved = wider.to_canvas(picture, place).map(inverse.map(about))
        return wider.panned(about - moved, picture, place)

    def panned(self, by: QPointF, picture: QSizeF, place: QRectF) -> "Placing":
        """Shifted by pixels of the canvas; the middle of the canvas stays on the picture."""
        width = picture.width() * min(place.width() / picture.width(), place.height() / picture.height())
        limit_x = self.zoom / 2
        limit_y = limit_x * picture.height() / picture.width()
        return replace(
            self,
            pan_x=min(max(self.pan_x + by.x() / width, -limit_x), limit_x),
            pan_y=min(max(self.pan_y + by.y() / width, -limit_y), limit_y),
        )

    def turned(self, by_deg: float) -> "Placing":
        """Turned so much more, clockwise; 15 degrees either way at most: a camera is not held worse."""
        return replace(self, turn_deg=min(max(self.turn_deg + by_deg, -15.0), 15.0))
