"""What is seen of a picture while the coach talks over it."""

from PyQt5.QtCore import QRectF

from review.app.swing_view.player import SwingPlayer


def find_view(player: SwingPlayer) -> tuple[float, float, float, float]:
    """What is seen of the leading picture, as parts of its width and height."""
    canvas = player.leading
    back, is_known = canvas.placing.to_canvas(canvas.original, QRectF(canvas.rect())).inverted()
    if not is_known:
        return 0.0, 0.0, 1.0, 1.0
    seen = back.mapRect(QRectF(canvas.rect())).intersected(
        QRectF(0, 0, canvas.original.width(), canvas.original.height())
    )
    if seen.isEmpty():
        return 0.0, 0.0, 1.0, 1.0
    width, height = canvas.original.width(), canvas.original.height()
    left, top = round(seen.left() / width, 4), round(seen.top() / height, 4)
    return left, top, round(seen.right() / width, 4), round(seen.bottom() / height, 4)
