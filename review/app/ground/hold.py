"""The area in which the pressure is to be held, and how long it has been there."""

import math
from dataclasses import dataclass, field
from time import monotonic

LEAST_CM, MOST_CM = 1.0, 20.0


@dataclass
class Hold:
    """A circle in the player's frame; ``held_s`` is how long the pressure has been inside without leaving."""

    x_cm: float = 0.0
    y_cm: float = 0.0
    radius_cm: float = 5.0
    longest_s: float = 0.0
    _since_s: float | None = field(default=None, repr=False)
    _now_s: float = field(default=0.0, repr=False)

    def is_inside(self, x_cm: float, y_cm: float) -> bool:
        """Whether a place is inside; nowhere (NaN) is outside."""
        return math.hypot(x_cm - self.x_cm, y_cm - self.y_cm) <= self.radius_cm

    def take(self, x_cm: float, y_cm: float, now_s: float | None = None) -> None:
        """Take in where the pressure is now."""
        self._now_s = monotonic() if now_s is None else now_s
        if not self.is_inside(x_cm, y_cm):
            self.stop()
            return
        self._since_s = self._now_s if self._since_s is None else self._since_s
        self.longest_s = max(self.longest_s, self.held_s)

    def stop(self) -> None:
        """Hold no longer: it is outside, or nobody knows where it is; the longest time stays."""
        self._since_s = None

    @property
    def held_s(self) -> float:
        """Seconds inside; 0 outside."""
        return 0.0 if self._since_s is None else self._now_s - self._since_s

    def move(self, dx_cm: float, dy_cm: float) -> None:
        """Move it; what was held there no longer counts."""
        self.x_cm, self.y_cm = self.x_cm + dx_cm, self.y_cm + dy_cm
        self._since_s, self.longest_s = None, 0.0

    def keep_within(self, middle_cm: tuple[float, float], half_cm: tuple[float, float]) -> None:
        """Keep all of it within so far of a place, either way; where it is too large for that, in the middle."""
        now = self.x_cm, self.y_cm
        room = (max(0.0, half - self.radius_cm) for half in half_cm)
        there = [min(m + r, max(m - r, at)) for m, r, at in zip(middle_cm, room, now, strict=True)]
        if (there[0], there[1]) != now:
            self.move(there[0] - now[0], there[1] - now[1])

    def grow(self, by: float) -> None:
        """Make it larger or smaller by a factor."""
        self.radius_cm = min(MOST_CM, max(LEAST_CM, self.radius_cm * by))
        self._since_s, self.longest_s = None, 0.0
