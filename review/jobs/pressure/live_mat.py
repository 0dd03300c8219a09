"""What the live view of the pressure needs of a lesson: how the mat lies, the feet on it, the player's hand."""

from dataclasses import dataclass
from pathlib import Path

from review.jobs.pressure.mats import load_mat
from review.jobs.showing.beside_swing import show_feet
from review.lesson import FloatArray, Handedness
from review.library import Library
from review.pressure import MatPlacement


@dataclass(frozen=True, eq=False)
class LiveMat:
    """The mat of a lesson; without one the places are in the mat's own axes.

    ``feet_cm`` as ``show_feet`` has them, none where the stance is not known. Without ``has_origin`` they are around
    where the pressure is when the player stands still, which the view is to find. ``cell_cm`` as in ``MatPlan``.
    """

    placement: MatPlacement | None = None
    feet_cm: tuple[FloatArray, ...] = ()
    handedness: Handedness = Handedness.RIGHT
    cell_cm: tuple[float, float] | None = None

    @property
    def has_origin(self) -> bool:
        """Whether it is known where on the mat the player stands."""
        return self.placement is not None and self.placement.has_origin

    @property
    def note(self) -> str:
        """What is not known, '' where all is."""
        if self.placement is None:
            return "How the mat lies is not known: places are in the mat's own axes, without feet."
        without = "" if self.feet_cm else " How wide the player stands is not known: no feet are drawn."
        if not self.placement.has_origin:
            return (
                "Where on the mat the player stands is not known: the middle is where the player first stands still."
                + without
            )
        return without.strip()


def find_live_mat(folder: Path, lesson_id: str) -> LiveMat:
    """The mat of a lesson for the live view.

    Raises
    ------
    BadInputError
        The library or the lesson is not there.
    """
    with Library.open(folder, create=False) as library:
        pupil, mat = library.pupil(library.lesson(lesson_id).pupil_id), load_mat(library, lesson_id)
    if mat is None or not mat.is_told:
        return LiveMat(None, (), pupil.handedness, None if mat is None else mat.cell_cm)
    feet = show_feet(mat, pupil.handedness, pupil.stature_m)
    if not mat.placement.has_origin:
        side = 1.0 if pupil.handedness is Handedness.RIGHT else -1.0
        feet = tuple(foot - (side * mat.stand_x_cm, 0.0) for foot in feet)
    return LiveMat(mat.placement, feet, pupil.handedness, mat.cell_cm)
