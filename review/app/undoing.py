"""What the coach did in the window, so that it can be undone and done again; without Qt."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, eq=False)
class Step:
    """A change that is named in words ("line drawn"), and how it is done and undone."""

    name: str
    do: Callable[[], None]
    undo: Callable[[], None]


class Undoing:
    """The steps of one lesson. A step that fails raises what it raised and changes nothing here."""

    def __init__(self) -> None:
        self._done: list[Step] = []
        self._undone: list[Step] = []

    def do(self, step: Step) -> None:
        """Do a step; what was undone before it can no longer be done again."""
        step.do()
        self.note(step)

    def note(self, step: Step) -> None:
        """Take in a step that is done elsewhere: beside the window, say, where undoing it has to come after it."""
        self._done.append(step)
        self._undone.clear()

    def drop(self, step: Step) -> None:
        """Forget a step of which nothing came."""
        for steps in (self._done, self._undone):
            if step in steps:
                steps.remove(step)

    def undo(self) -> str:
        """Undo the last step and give its name; empty when there is none."""
        if not self._done:
            return ""
        step = self._done[-1]
        step.undo()
        self._undone.append(self._done.pop())
        return step.name

    def redo(self) -> str:
        """Do the step undone last once more and give its name; empty when there is none."""
        if not self._undone:
            return ""
        step = self._undone[-1]
        step.do()
        self._done.append(self._undone.pop())
        return step.name

    def clear(self) -> None:
        """Forget all steps: another lesson is open."""
        self._done.clear()
        self._undone.clear()
