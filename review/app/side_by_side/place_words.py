"""Where two swings on one clock are, in words, without Qt: where they are locked, the moment, the speed."""

from fractions import Fraction

from review.app.language import say_number, tr
from review.app.side_by_side.lock import Lock
from review.app.side_by_side.words import say_side
from review.jobs.showing.pair import SideShown


def say_place(lock: Lock, moment_s: float, speed: float) -> str:
    """Say where it is: 'locked at impact   0.120 s before impact   speed 1/4'; ``moment_s`` is 0 at the lock."""
    at = tr(lock.at) if lock.at else tr("the first frames")
    words = tr("{s} s before {key}" if moment_s < 0 else "{s} s after {key}", s=say_number(abs(moment_s), 3), key=at)
    said = tr("speed {speed}", speed=str(Fraction(speed)))
    return "   ".join(filter(None, (tr("locked at {key}", key=at), words, said, say_altered(lock))))


def say_altered(lock: Lock | None) -> str:
    """Say that the second clip's time is no longer its own; '' where it is."""
    return tr("time altered") if lock is not None and lock.is_time_altered else ""


def say_note(side: SideShown, *, is_same_side: bool, is_in_step: bool, altered: str) -> str:
    """Say on a picture which swing it is, and what is to be known of the two clips."""
    together = "" if is_same_side else tr("not filmed from the same side")
    unlocked = "" if is_in_step else tr("not in step: no key frame that both have")
    return " · ".join(filter(None, (say_side(side), together, unlocked, altered)))
