"""The cameras of the open lesson and what is marked of each: read, kept and undone beside the window."""

from dataclasses import replace

from PyQt5.QtCore import QObject, pyqtSignal

from review.app.language import tr
from review.app.setups.marking import Draft, Step
from review.app.setups.words import say_found
from review.app.state import ReviewState
from review.app.undoing import Step as Done
from review.app.worker import Task
from review.jobs.measuring.camera_marking import (
    CameraFound,
    CameraToMark,
    find_camera,
    list_cameras,
    put_camera_setup,
)
from review.jobs.measuring.setup_files import write_camera_setup
from review.pose.track import LandmarkTrack
from review.progress import Progress

Cameras = tuple[CameraToMark, ...]


class CameraDesk(QObject):
    """Holds what is marked of each camera.

    ``came`` tells that cameras were read, ``draft_changed`` that marks are others, ``said`` what follows from them and
    whether they can be. What is marked stays while the window is open; a stick marked whole is kept with the lesson at
    once.
    """

    came = pyqtSignal()
    draft_changed = pyqtSignal()
    said = pyqtSignal(str, bool)

    def __init__(self, state: ReviewState, parent: QObject | None = None) -> None:
        super().__init__(parent)
        self._state = state
        self._drafts: dict[tuple[str, str], Draft] = {}
        self.lesson_id = ""
        self.cameras: Cameras = ()
        self._at = 0
        self._seen: dict[tuple[str, int], LandmarkTrack] = {}

    @property
    def camera(self) -> CameraToMark | None:
        """The camera that is marked now."""
        return self.cameras[self._at] if self._at < len(self.cameras) else None

    @property
    def draft(self) -> Draft:
        """What is marked of it so far."""
        return Draft() if self.camera is None else self._draft_of(self.camera)

    def _draft_of(self, camera: CameraToMark) -> Draft:
        return self._drafts.get((self.lesson_id, camera.place), Draft.of(camera.setup))

    def read(self) -> None:
        """Read which cameras the open lesson has."""
        lesson = self._state.lesson
        if lesson is None or lesson.lesson.id != self.lesson_id:
            self.cameras, self._at = (), 0
        self.lesson_id = "" if lesson is None else lesson.lesson.id
        if lesson is None:
            self.came.emit()
            return
        folder, lesson_id = self._state.library, self.lesson_id

        def work(progress: Progress) -> tuple[str, Cameras]:
            return lesson_id, list_cameras(folder, lesson_id, progress)

        self._add(Task(tr("Reading the cameras"), work, self._take_cameras, self._state.trouble_came.emit))

    def _take_cameras(self, read: tuple[str, Cameras]) -> None:
        lesson_id, found = read
        if lesson_id == self.lesson_id:
            places = [one.place for one in found]
            self._at = places.index(self.camera.place) if self.camera and self.camera.place in places else 0
            self.cameras = found
            self.came.emit()
            self.find()

    def _add(self, task: Task) -> None:
        self._state.line.add(task)

    def step_camera(self) -> None:
        """Go to the next camera."""
        if len(self.cameras) > 1:
            self._at = (self._at + 1) % len(self.cameras)
            self.came.emit()
            self.find()

    def choose_frame(self, frame: int) -> None:
        """Mark on another frame of the same clip."""
        now = self.camera
        if now is not None:
            self.cameras = tuple(replace(one, frame=frame) if one is now else one for one in self.cameras)

    def set_draft(self, draft: Draft) -> None:
        """Take over what is marked, without keeping it."""
        if self.camera is not None:
            self._drafts[self.lesson_id, self.camera.place] = draft
            self.draft_changed.emit()

    def go_on(self, draft: Draft) -> None:
        """Take over what is marked, and keep it with the lesson once the stick is marked whole.

        Raises
        ------
        ValueError
            When it cannot be; nothing is taken over.
        """
        camera, setup = self.camera, draft.make_setup()
        if camera is None:
            return
        self.set_draft(draft)
        is_whole = setup is not None and draft.step not in (Step.AWAY, Step.TOWARD, Step.LENGTH)
        if setup is not None and is_whole and setup != camera.setup:
            self._put(camera, write_camera_setup(setup), tr("camera set-up kept"))

    def forget(self) -> None:
        """Take the set-up of this camera away; undone it comes back."""
        if self.camera is not None and self.camera.setup is not None:
            self._put(self.camera, None, tr("camera set-up taken away"))

    def _put(self, camera: CameraToMark, text: str | None, what: str) -> None:
        folder, lesson_id, place = self._state.library, self.lesson_id, camera.place
        before = None if camera.setup is None else write_camera_setup(camera.setup)
        n_done = 0

        def put(to: str | None, is_stepped: bool) -> None:
            def work(progress: Progress) -> tuple[str, str, Cameras, bool]:
                put_camera_setup(folder, lesson_id, place, to)
                return lesson_id, place, list_cameras(folder, lesson_id, progress), is_stepped

            name = tr("Keeping the camera set-up")
            self._add(Task(name, work, self._take_kept, self._state.trouble_came.emit, keeps=True))

        def forward() -> None:
            nonlocal n_done
            n_done += 1
            put(text, n_done > 1 or text is None)

        self._state.do(Done(what, forward, lambda: put(before, True)))

    def _take_kept(self, what: tuple[str, str, Cameras, bool]) -> None:
        """Know what is kept now; undone or done again, what is marked follows it."""
        lesson_id, place, found, is_stepped = what
        if is_stepped:
            self._drafts.pop((lesson_id, place), None)
        if lesson_id != self.lesson_id:
            return
        kept = {one.place: one.setup for one in found}
        self.cameras = tuple(replace(one, setup=kept.get(one.place)) for one in self.cameras)
        if is_stepped:
            self.draft_changed.emit()
        self.find()

    def find(self) -> None:
        """Say what follows from what is kept of this camera."""
        camera, folder, lesson_id = self.camera, self._state.library, self.lesson_id
        if camera is None or camera.setup is None:
            self.said.emit("", True)
            return

        seen = self._seen.get((camera.clip.id, camera.frame))

        def work(progress: Progress) -> tuple[str, CameraToMark, CameraFound]:
            return lesson_id, camera, find_camera(folder, lesson_id, camera, progress, seen)

        self.said.emit(tr("Finding where the camera stands …"), True)
        self._add(Task(tr("Finding where the camera stands"), work, self._take_found, self._take_not_found))

    def _take_found(self, what: tuple[str, CameraToMark, CameraFound]) -> None:
        lesson_id, of, found = what
        now = self.camera
        if found.seen is not None:
            self._seen = {(of.clip.id, of.frame): found.seen}
        if now is not None and (self.lesson_id, now.place, now.setup) == (lesson_id, of.place, of.setup):
            said = say_found(found)
            more = f"{said} {tr('M measures the lesson anew with it.')}"
            self.said.emit(more if found.is_used else said, found.is_used)

    def _take_not_found(self, why: str) -> None:
        self.said.emit(why, True)

    @property
    def last_length_m(self) -> float | None:
        """The stick's length where any camera of the lesson has it: it is mostly the same stick."""
        drafts = (self._draft_of(one) for one in self.cameras)
        return next((draft.numbers[Step.LENGTH] for draft in drafts if Step.LENGTH in draft.numbers), None)
