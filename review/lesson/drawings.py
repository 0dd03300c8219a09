"""What a coach draws on a picture."""

from dataclasses import dataclass
from enum import StrEnum


class DrawingKind(StrEnum):
    """The shapes a coach can draw."""

    LINE = "line"
    ANGLE = "angle"
    ARROW = "arrow"
    CIRCLE = "circle"
    FREEHAND = "freehand"
    TEXT = "text"


_POINTS_NEEDED = {
    DrawingKind.LINE: 2,
    DrawingKind.ANGLE: 3,
    DrawingKind.ARROW: 2,
    DrawingKind.CIRCLE: 2,
    DrawingKind.TEXT: 1,
}


@dataclass(frozen=True)
class Drawing:
    """One shape on a clip from ``start_s`` to ``end_s`` (presentation times).

    ``points`` are x, y as parts of the picture's width and height (0..1); an angle's second point
    is its corner; a circle has its centre and a point on its rim. ``tied_to`` names the body point it follows
    ("trail heel"; empty: none), whose place at ``tied_at_s`` belongs to ``points``. ``accent`` is the place of its
    colour and stroke among the accents.
    """

    id: str
    kind: DrawingKind
    points: tuple[tuple[float, float], ...]
    start_s: float
    end_s: float
    text: str = ""
    tied_to: str = ""
    tied_at_s: float = 0.0
    accent: int = 0

    def __post_init__(self) -> None:
        need = _POINTS_NEEDED.get(self.kind)
        if need is not None and len(self.points) != need:
            raise ValueError(f"a drawn {self.kind} needs {need} points, got {len(self.points)}")
        if self.end_s < self.start_s:
            raise ValueError(f"a drawing cannot end ({self.end_s} s) before it starts ({self.start_s} s)")
