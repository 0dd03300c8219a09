"""What the coach has marked of a camera so far, step by step; without Qt."""

from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from enum import Enum

from review.body.camera_setup import CameraSetup, Point, TargetStick
from review.lesson import Handedness, View


class Step(Enum):
    """What is asked for, in this order."""

    AWAY = "away"
    TOWARD = "toward"
    LENGTH = "length"
    LEVEL = "level"
    TOP = "top"
    BOTTOM = "bottom"


STEPS = tuple(Step)
POINTS = (Step.AWAY, Step.TOWARD, Step.TOP, Step.BOTTOM)
"""Steps that mark a point of the picture; the others ask for a number."""
_OPTIONAL = {Step.LEVEL: (Step.LEVEL,), Step.TOP: (Step.TOP, Step.BOTTOM)}
"""Steps that can be left out, with what goes with them."""


@dataclass(frozen=True)
class Draft:
    """Points are pixels of the original as displayed; length in metres, level in degrees. ``at`` counts the steps."""

    points: Mapping[Step, Point] = field(default_factory=dict)
    numbers: Mapping[Step, float] = field(default_factory=dict)
    at: int = 0

    @classmethod
    def of(cls, setup: CameraSetup | None) -> "Draft":
        """What is kept already, all steps done; the beginning where nothing is."""
        if setup is None:
            return cls()
        points = {Step.AWAY: setup.stick.away_from_target_px, Step.TOWARD: setup.stick.toward_target_px}
        numbers = {Step.LENGTH: setup.stick.length_m}
        if setup.upright_px is not None:
            points |= dict(zip((Step.TOP, Step.BOTTOM), setup.upright_px, strict=True))
        if setup.roll_deg is not None:
            numbers[Step.LEVEL] = setup.roll_deg
        return cls(points, numbers, len(STEPS))

    @property
    def step(self) -> Step | None:
        """What is asked for now; None when all is done."""
        return STEPS[self.at] if self.at < len(STEPS) else None

    @property
    def is_optional(self) -> bool:
        """Whether the step can be left out."""
        return self.step in _OPTIONAL

    def take_point(self, point: Point) -> "Draft":
        """Take a point for this step and go on."""
        assert self.step in POINTS
        return replace(self, points={**self.points, self.step: point}, at=self.at + 1)

    def take_number(self, number: float) -> "Draft":
        """Take a number for this step and go on."""
        assert self.step is not None
        return replace(self, numbers={**self.numbers, self.step: number}, at=self.at + 1)

    def leave_out(self) -> "Draft":
        """Go on without what is asked for; only where ``is_optional``."""
        gone = _OPTIONAL[STEPS[self.at]]
        return Draft(
            {step: point for step, point in self.points.items() if step not in gone},
            {step: number for step, number in self.numbers.items() if step not in gone},
            self.at + len(gone),
        )

    def back(self) -> "Draft":
        """Go a step back; what was marked there stays to be changed."""
        at = max(0, self.at - 1)
        if STEPS[at] is Step.BOTTOM and Step.TOP not in self.points:
            at -= 1
        return replace(self, at=at)

    def begin_anew(self) -> "Draft":
        """Ask for everything once more; what was marked stays to be changed."""
        return replace(self, at=0)

    def make_setup(self) -> CameraSetup | None:
        """What is marked so far as a set-up; None while the stick is not marked whole.

        Raises
        ------
        ValueError
            When it cannot be, with the reason that a file of the same numbers is refused for.
        """
        if not {Step.AWAY, Step.TOWARD} <= self.points.keys() or Step.LENGTH not in self.numbers:
            return None
        upright = (Step.TOP, Step.BOTTOM)
        has_upright = all(step in self.points for step in upright)
        return CameraSetup(
            TargetStick(self.numbers[Step.LENGTH], self.points[Step.AWAY], self.points[Step.TOWARD]),
            self.numbers.get(Step.LEVEL),
            (self.points[Step.TOP], self.points[Step.BOTTOM]) if has_upright else None,
        )


def propose_point(
    draft: Draft, size_px: tuple[float, float], view: View | None, handedness: Handedness
) -> tuple[float, float]:
    """Where the mark of a step begins: where it was, else about where such a thing lies, on whole pixels."""
    step = draft.step or Step.AWAY
    if step in draft.points:
        return draft.points[step]
    down_the_line = view is View.DOWN_THE_LINE
    x, y = {
        Step.AWAY: (0.6, 0.95) if down_the_line else (0.25, 0.9),
        Step.TOWARD: (0.6, 0.8) if down_the_line else (0.75, 0.9),
        Step.TOP: (0.1, 0.2),
        Step.BOTTOM: (0.1, 0.7),
    }.get(step, (0.5, 0.5))
    if step is Step.BOTTOM and Step.TOP in draft.points:
        x = draft.points[Step.TOP][0] / size_px[0]
    elif handedness is Handedness.LEFT:
        x = 1.0 - x
    return float(round(x * (size_px[0] - 1))), float(round(y * (size_px[1] - 1)))


def hold_inside(point: tuple[float, float], size_px: tuple[float, float]) -> tuple[float, float]:
    """The nearest pixel of the picture."""
    return min(max(point[0], 0.0), size_px[0] - 1.0), min(max(point[1], 0.0), size_px[1] - 1.0)


def read_number(text: str) -> float | None:
    """Read a number as a coach writes it, with a point or a comma; None where it is none."""
    try:
        return float(text.strip().replace(",", "."))
    except ValueError:
        return None
