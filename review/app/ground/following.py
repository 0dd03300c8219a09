"""Follows a table live: what came is where the dot is; how long it is held, where the pupil stands, what is wrong."""

import math

from review.app.ground.scene import Scene
from review.app.ground.stand import Stand
from review.app.language import tr
from review.app.sentences import say_sentences
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_trace import LiveTrace
from review.lesson import Handedness

_TROUBLE_S = 1.0
"""What passes sooner is not said."""
_SILENT_S = 3.0
"""So long nothing new may come: programs write piece by piece. No source."""


class Following:
    """Fills a scene from a trace; where nobody told where the player stands, around where that is first."""

    def __init__(self, trace: LiveTrace, mat: LiveMat) -> None:
        self._trace = trace
        side = 1.0 if mat.handedness is Handedness.RIGHT else -1.0
        is_placed = mat.placement is not None
        self._feet, self._is_known = mat.feet_cm, mat.has_origin and bool(mat.feet_cm)
        self.scene = Scene(mat.feet_cm if self._is_known else (), side if is_placed else 0.0)
        # as seen from where a face-on camera stands; a mat's own axes turned round, so that the pupil sees x to the
        # right and y ahead
        self._along = side if is_placed else -1.0
        self._stand = None if self._is_known else Stand()
        self._is_first = not self._is_known
        self._is_ring_moved = False
        self._trouble_since_s: float | None = None
        self._last_s: float | None = None

    def go_on(self, now_s: float) -> bool:
        """Take in what came; whether anything is to be seen of it."""
        was_doubted = bool(self._trace.note)
        new = self._trace.read_new()
        if was_doubted and not self._trace.note and not self._is_known:  # now somebody stands on it
            self._stand, self._is_first, self.scene.feet = Stand(), True, ()
        said = self.scene.trouble, self.scene.notes, self.scene.silent_s
        self.scene.trouble = self._find_trouble(now_s)
        for x, y in new:
            self._take(self._along * x, -y, now_s)
        if new:
            self._last_s = now_s
            self.scene.hold.take(*self.scene.tail[-1], now_s)
            self._find_stand()
        silent_s = 0.0 if self._last_s is None else now_s - self._last_s
        self.scene.silent_s = math.floor(silent_s) if silent_s >= _SILENT_S else 0
        if self.scene.silent_s:
            self.scene.hold.stop()
        self.scene.notes = self._find_notes()
        return bool(new) or said != (self.scene.trouble, self.scene.notes, self.scene.silent_s)

    def move_ring(self, dx_cm: float, dy_cm: float) -> None:
        """Move the ring as the coach did: it stays there."""
        self._is_ring_moved = True
        self.scene.hold.move(dx_cm, dy_cm)

    def _find_trouble(self, now_s: float) -> str:
        if not self._trace.trouble:
            self._trouble_since_s = None
            return ""
        self._trouble_since_s = now_s if self._trouble_since_s is None else self._trouble_since_s
        return say_sentences(self._trace.trouble) if now_s - self._trouble_since_s >= _TROUBLE_S else ""

    def _find_notes(self) -> tuple[str, ...]:
        notes = []
        if not self._trace.is_there:
            notes.append(tr("Waiting for {file}: there is no such file.", file=self._trace.name))
        elif not self.scene.tail:
            notes.append(tr("Waiting for what comes in {file}.", file=tr(self._trace.name)))
        if self._stand is not None and not self._is_first:
            notes.append(tr("Stand still for a second: there the middle will be."))
        if self._trace.note:
            notes.append(say_sentences(self._trace.note))
        if self._trace.n_bad:
            notes.append(tr("Lines that could not be read: {n}", n=self._trace.n_bad))
        return tuple(notes)

    def _take(self, x: float, y: float, now_s: float) -> None:
        self.scene.tail.append((x, y))
        if self._is_first and not math.isnan(x):  # the mat's own middle may be anywhere: the dot is to be seen
            self._begin_at(x, y)
            self._is_first = False
        if self._stand is not None:
            self._stand.take(x, y, now_s)

    def _find_stand(self) -> None:
        stands = None if self._stand is None else self._stand.find()
        if stands is not None:
            self._begin_at(*stands)
            self.scene.feet, self._stand = self._feet, None

    def _begin_at(self, x: float, y: float) -> None:
        """Take a place for the middle; the ring goes with it where the coach has not moved it."""
        self.scene.middle = x, y
        if not self._is_ring_moved:
            self.scene.hold.move(x - self.scene.hold.x_cm, y - self.scene.hold.y_cm)
