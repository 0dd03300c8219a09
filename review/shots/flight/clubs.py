"""What kind of club a name means in plain trade words, and what the kind says of strike and start."""

import re
from dataclasses import dataclass
from enum import StrEnum


class ClubKind(StrEnum):
    """Clubs that strike a ball alike."""

    DRIVER = "driver"
    WOOD = "fairway wood"
    HYBRID = "hybrid"
    IRON = "iron"
    WEDGE = "wedge"
    UNKNOWN = "any club"


@dataclass(frozen=True)
class Share:
    """How far from path to face the ball starts: 0 = along the path, 1 = where the face looks."""

    low: float
    middle: float
    high: float

    def __post_init__(self) -> None:
        if not 0.0 <= self.low <= self.middle <= self.high <= 1.0:
            raise ValueError(f"a share needs 0 <= low <= middle <= high <= 1, got {self}")


# Ends 0.61 and 0.83: Wood et al. 2018, Proceedings 2(6):249, over clubs, golfers and a robot. That drivers lie
# higher and wedges lower is from memory; how the range is cut up between the kinds is ours, no source.
START_SHARES = {
    ClubKind.DRIVER: Share(0.72, 0.78, 0.83),
    ClubKind.WOOD: Share(0.69, 0.75, 0.82),
    ClubKind.HYBRID: Share(0.67, 0.74, 0.80),
    ClubKind.IRON: Share(0.64, 0.72, 0.79),
    ClubKind.WEDGE: Share(0.61, 0.67, 0.75),
    ClubKind.UNKNOWN: Share(0.61, 0.72, 0.83),
}
"""Share of the way from path to face by kind of club, with its range."""

# Common practice, no source; the heavy end of what is sold, so that a limit made of it is generous.
HEAD_MASSES_KG = {
    ClubKind.DRIVER: 0.205,
    ClubKind.WOOD: 0.230,
    ClubKind.HYBRID: 0.250,
    ClubKind.IRON: 0.300,
    ClubKind.WEDGE: 0.320,
    ClubKind.UNKNOWN: 0.320,
}
"""Mass of the club's head by kind, kilograms."""

_WORDS = (
    (ClubKind.DRIVER, r"driver|dr|1 ?w(ood)?|w ?1"),
    (ClubKind.HYBRID, r"([1-9] ?)?(hybrid|hy|h)( ?[1-9])?"),
    (ClubKind.WEDGE, r".*wedge.*|[pgaslu]w|[4-6]\d ?(deg|°)?"),
    (ClubKind.WOOD, r"([2-9]|11) ?(wood|w)|(fairway )?wood( ?\d+)?|fairway.*|w ?\d+"),
    (ClubKind.IRON, r"([1-9] ?)?(iron|i)( ?[1-9])?"),
)


def find_club_kind(name: str) -> ClubKind:
    """Find the kind of a club by its name: '6-iron', '7i', 'PW', 'Driver'; ``UNKNOWN`` where the name does not tell."""
    words = re.sub(r"[\s_\-.]+", " ", name.casefold()).strip()
    return next((kind for kind, pattern in _WORDS if re.fullmatch(pattern, words)), ClubKind.UNKNOWN)
