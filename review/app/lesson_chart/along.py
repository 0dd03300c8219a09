"""Where a swing of the lesson stands along the width of the chart, the same in every panel of it."""

from dataclasses import dataclass


@dataclass(frozen=True)
class Along:
    """From ``start`` to ``end`` along the swings on a width, ``left_px`` and ``right_px`` of it free at the sides."""

    start: float
    end: float
    width_px: float
    left_px: float
    right_px: float

    def __call__(self, order: float) -> float:
        """Where a swing stands, in pixels."""
        share = (order - self.start) / max(1e-9, self.end - self.start)
        return self.left_px + share * (self.width_px - self.left_px - self.right_px)
