"""A drawing in the making: points set one by one, the last one still in hand; without Qt."""

from dataclasses import dataclass, field

from review.lesson import Drawing, DrawingKind

Point = tuple[float, float]

N_POINTS = {
    DrawingKind.LINE: 2,
    DrawingKind.ANGLE: 3,
    DrawingKind.ARROW: 2,
    DrawingKind.CIRCLE: 2,
    DrawingKind.TEXT: 1,
}
"""Points of each kind; freehand has as many as mouse or arrows give."""


@dataclass
class Sketch:
    """``placed`` points, and the one in ``hand``, in parts of the picture's width and height."""

    kind: DrawingKind
    hand: Point = (0.5, 0.5)
    placed: list[Point] = field(default_factory=list)

    @property
    def is_complete(self) -> bool:
        """Whether all its points are set."""
        return len(self.placed) >= N_POINTS.get(self.kind, 2)

    def move_to(self, point: Point) -> None:
        """Take the hand to a point, or to the picture's edge before it."""
        self.hand = (min(max(point[0], 0.0), 1.0), min(max(point[1], 0.0), 1.0))

    def place(self) -> bool:
        """Set the point in hand, unless it lies on the one before; return whether that completes the drawing."""
        if not self.placed or self.placed[-1] != self.hand:
            self.placed.append(self.hand)
        return self.is_complete

    def take_back(self) -> None:
        """Take the last point in hand again; a freehand line goes on from the one before."""
        if self.placed:
            self.hand = self.placed.pop()
            if self.kind is DrawingKind.FREEHAND and self.placed:
                self.hand = self.placed[-1]

    def as_drawing(self, id: str, span_s: tuple[float, float], accent: int, text: str = "") -> Drawing:
        """The complete drawing."""
        return Drawing(id, self.kind, tuple(self.placed), *span_s, text=text, accent=accent)

    def preview(self, accent: int) -> Drawing | None:
        """What it would be if the hand set its point now; a line where an angle lacks its other side; None so far."""
        points = (*self.placed, self.hand)
        if self.kind is DrawingKind.FREEHAND:
            return None if len(self.placed) < 2 else Drawing("", self.kind, tuple(self.placed), 0.0, 0.0, accent=accent)
        if self.kind is DrawingKind.TEXT or len(points) < 2:
            return None
        kind = self.kind if len(points) == N_POINTS[self.kind] else DrawingKind.LINE
        return Drawing("", kind, points, 0.0, 0.0, accent=accent)
