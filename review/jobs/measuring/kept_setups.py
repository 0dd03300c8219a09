"""Camera and player set-ups that a lesson keeps: taken in with it, used whenever it is measured."""

from collections.abc import Collection, Mapping
from dataclasses import dataclass

from review.body import CameraSetup
from review.errors import BadInputError
from review.jobs.lesson_file import LessonPlan
from review.jobs.measuring.player_files import PlayerSetup, parse_player_setup, read_player_setup_text
from review.jobs.measuring.setup_files import parse_camera_setup, read_camera_setup_text
from review.lesson import Clip, Handedness, View
from review.library import Library


def keep_camera_setup(library: Library, lesson_id: str, camera: str, text: str) -> None:
    """Keep what the coach marked for a camera, or a view, with a lesson, in the place of an older one.

    Raises
    ------
    BadInputError
        When it cannot be understood; what was kept before stays.
    """
    parse_camera_setup(text, f"the set-up for {camera}")
    library.set_camera_setup(lesson_id, camera, text)


def check_whose(
    setup: PlayerSetup, name: str, pupil: str, handedness: Handedness, camera: str, view: View | None
) -> None:
    """Refuse a player set-up, ``name`` is its file's, of another hand or view than its pupil and camera.

    Raises
    ------
    BadInputError
        It is of another; ``view`` None is not known and fits all.
    """
    if setup.handedness is not handedness:
        raise BadInputError(
            f"{name} is the player set-up of a {setup.handedness.value}-handed player, {pupil} swings "
            f"{handedness.value}-handed. Give the one made of this pupil."
        )
    if view is not None and view is not setup.view:
        raise BadInputError(
            f"{name} is a {setup.view.value} player set-up, {camera} is a {view.value} camera. "
            "Give it for the camera that it was made with."
        )


@dataclass(frozen=True)
class ReadSetups:
    """What a plan names, read and checked but not yet kept.

    cameras : text by camera or view. players : camera or view, pose model, name of the file, text.
    """

    cameras: tuple[tuple[str, str], ...]
    players: tuple[tuple[str, str, str, str], ...]

    def keep(self, library: Library, lesson_id: str) -> None:
        """Keep them with the lesson; they take the place of older ones."""
        for camera, text in self.cameras:
            keep_camera_setup(library, lesson_id, camera, text)
        for camera, model, file, text in self.players:
            library.set_player_setup(lesson_id, camera, model, file, text)

    def note_strangers(self, cameras: Collection[str]) -> tuple[str, ...]:
        """Say which set-ups are for a camera that no clip of the lesson is from; views are always known."""
        known = {*cameras, *(view.value for view in View)}
        named = dict.fromkeys(name for name, *_ in (*self.cameras, *self.players))
        there = " and ".join(sorted(name for name in cameras if name)) or "without a name"
        return tuple(
            f"A set-up was given for {name}, but no clip is from a camera of that name (cameras here: {there}); it is "
            "kept and used once there is one. A view works too: face-on, down-the-line."
            for name in named
            if name not in known
        )


def read_setups(plan: LessonPlan) -> ReadSetups:
    """Read the set-ups that a plan names.

    Raises
    ------
    BadInputError
        When a file cannot be used, or a player set-up is of another hand or view than its pupil and camera.
    """
    cameras = tuple((camera, read_camera_setup_text(path)) for camera, path in plan.camera_setups)
    views = {view.value: view for view in View} | {c.name: c.view for c in plan.cameras if c.view is not None}
    players = []
    for camera, path in plan.player_setups:
        text = read_player_setup_text(path)
        setup = parse_player_setup(text, path.name)
        try:
            check_whose(setup, path.name, plan.pupil.name, plan.pupil.handedness, camera, views.get(camera))
        except BadInputError as error:
            raise BadInputError(f"{error} Nothing was added.") from error
        players.append((camera, setup.model, path.name, text))
    return ReadSetups(cameras, tuple(players))


@dataclass(frozen=True)
class KeptSetups:
    """The set-ups of a lesson, by camera or view; what is kept for a camera comes before what is kept for its view."""

    cameras: Mapping[str, CameraSetup]
    players: Mapping[str, tuple[PlayerSetup, ...]]

    def camera_of(self, clip: Clip, view: View) -> CameraSetup | None:
        """The camera set-up for a clip, None when there is none."""
        return self.cameras.get(clip.camera, self.cameras.get(view.value))

    def place_of(self, clip: Clip, view: View | None) -> str:
        """Under which name the camera set-up for a clip is kept, or would be: its camera, else its view."""
        by_view = "" if view is None else view.value
        if clip.camera in self.cameras or (by_view not in self.cameras and clip.camera):
            return clip.camera
        return by_view or clip.camera

    def players_of(self, clip: Clip, view: View) -> tuple[PlayerSetup, ...]:
        """The player set-ups for a clip; those of the quick and of the thorough run are two."""
        return self.players.get(clip.camera, self.players.get(view.value, ()))


def load_setups(library: Library, lesson_id: str) -> KeptSetups:
    """Return what a lesson keeps.

    Raises
    ------
    BadInputError
        When it can no longer be understood.
    """
    cameras = {
        camera: parse_camera_setup(text, f"the set-up kept for {camera}")
        for camera, text in library.camera_setups(lesson_id).items()
    }
    players: dict[str, tuple[PlayerSetup, ...]] = {}
    for camera, file, text in library.player_setups(lesson_id):
        players[camera] = (*players.get(camera, ()), parse_player_setup(text, file))
    return KeptSetups(cameras, players)
