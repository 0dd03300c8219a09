"""Pictures of a coach drawing on the swing that is open; nothing of it is kept."""

from collections.abc import Callable

from review.app.drawings.sketch import Sketch
from review.app.window import Window
from review.lesson import Drawing, DrawingKind

_DRAWN = (
    (DrawingKind.ANGLE, ((0.35, 0.3), (0.45, 0.6), (0.62, 0.45)), "", 0),
    (DrawingKind.CIRCLE, ((0.5, 0.22), (0.58, 0.22)), "", 1),
    (DrawingKind.ARROW, ((0.2, 0.85), (0.4, 0.85)), "", 2),
    (DrawingKind.TEXT, ((0.2, 0.9),), "tall", 3),
)


def draw_drawing(window: Window, draw: Callable[[str], None]) -> None:
    """Draw some drawings, one of them chosen, and a line in the making."""
    page = window.swing_page
    if page is None or page.player is None:
        return
    page.desk.begin(page.player)
    if not page.desk.is_on:
        return
    screens, clip_id = page.player.screens, page.desk.screen.shown.clip.id
    drawings = [
        Drawing(f"picture {n}", kind, points, 0.0, page.desk.now_s + 1.0, text=text, accent=accent)
        for n, (kind, points, text, accent) in enumerate(_DRAWN)
    ]
    for drawing in drawings:
        screens.show_drawing(clip_id, drawing.id, drawing)
    page.desk.choose(drawings[0])
    draw("drawing_chosen")
    page.desk.sketch = Sketch(DrawingKind.LINE, (0.75, 0.7), [(0.3, 0.75)])
    page.desk.refresh()
    draw("drawing_line")
    page.desk.end()
    for drawing in drawings:
        screens.show_drawing(clip_id, drawing.id, None)
