"""What was on the screen while a coach talked, noted whenever it changes; without Qt."""

from dataclasses import replace

from review.lesson import Moment


class TalkLog:
    """Moments in order; two at the same sample are one, the later."""

    def __init__(self) -> None:
        self._moments: list[Moment] = []

    @property
    def moments(self) -> tuple[Moment, ...]:
        """What was noted, the first from the beginning on."""
        first = [replace(moment, at=0) for moment in self._moments[:1]]
        return tuple(first + self._moments[1:])

    def note(self, moment: Moment) -> bool:
        """Note what is on the screen now, where it is another than before; return whether it is."""
        last = self._moments[-1] if self._moments else None
        if last is not None and replace(moment, at=last.at) == last:
            return False
        if last is not None and moment.at <= last.at:
            self._moments[-1] = replace(moment, at=last.at)
        else:
            self._moments.append(moment)
        return True
