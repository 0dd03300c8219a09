"""What was the same and what was not between two batches: club, target, ball."""

from collections.abc import Sequence
from dataclasses import dataclass

from review.lesson import Batch, Swing
from review.shots.flight.clubs import ClubKind, find_club_kind

_WHY = {
    "club": "another club changes path, attack and speed by itself",
    "target": "another target changes where straight is, and the swing with it",
    "ball": "another ball changes speed, spin and carry by itself",
}


@dataclass(frozen=True)
class Conditions:
    """What a batch was hit with and at: every name that was met, () where not known."""

    clubs: tuple[str, ...] = ()
    targets: tuple[str, ...] = ()
    balls: tuple[str, ...] = ()


@dataclass(frozen=True)
class Difference:
    """What was not the same, ``said`` in words; ``what`` names the condition (club, target, ball), '' where none."""

    what: str
    said: str


def conditions_of(swings: Sequence[Swing], batch: Batch | None = None) -> Conditions:
    """Gather the conditions of a batch; the device's club for each shot goes before the batch's."""
    clubs = tuple(club for club in dict.fromkeys(s.shot.club for s in swings if s.shot is not None) if club.strip())
    if not clubs and batch is not None and batch.club.strip():
        clubs = (batch.club,)
    if batch is None:
        return Conditions(clubs)
    targets, balls = ((text,) if text.strip() else () for text in (batch.target, batch.ball))
    return Conditions(clubs, targets, balls)


def find_differences(first: Conditions, last: Conditions) -> tuple[Difference, ...]:
    """Say what differs between two batches, and why a comparison then says little; () where nothing known does.

    Names count as the same without regard to capitals, blanks and hyphens; clubs also where they say the same kind
    and number another way: '7i', 'Iron 7', '7-iron'.
    """
    said = []
    for what, a, b in (
        ("club", first.clubs, last.clubs),
        ("target", first.targets, last.targets),
        ("ball", first.balls, last.balls),
    ):
        if not a or not b:
            continue
        plain = _plain_club if what == "club" else _plain
        one, other = ({plain(name) for name in names} for names in (a, b))
        if one != other:
            text = f"{what}: {_names(a)} in the first batch, {_names(b)} in the last; {_WHY[what]}"
            said.append(Difference(what, text))
        elif len(one) > 1:
            said.append(Difference(what, f"{what}: {_names(a)} mixed in both batches; {_WHY[what]}"))
    return tuple(said)


def _plain(name: str) -> str:
    return "".join(letter for letter in name.casefold() if letter.isalnum())


def _plain_club(name: str) -> str:
    kind = find_club_kind(name)
    digits = "".join(letter for letter in name if letter.isdigit())
    is_told = kind in (ClubKind.IRON, ClubKind.WOOD, ClubKind.HYBRID) and digits
    return f"{kind} {digits}" if is_told or kind is ClubKind.DRIVER else _plain(name)


def _names(names: Sequence[str]) -> str:
    return " and ".join(names)
