"""What the set-up pages say; without Qt."""

from review.app.language import tr
from review.app.setups.marking import STEPS, Draft, Step
from review.jobs.measuring.camera_marking import CameraFound
from review.lesson import View


def say_camera(place: str, view: View | None) -> str:
    """Name a camera."""
    where = "" if view is None else tr(view.value)
    name = "" if view is not None and place == view.value else tr("camera {name}", name=place or "1")
    return ", ".join(part for part in (name, where) if part)


def say_step(draft: Draft) -> str:
    """Ask for the step that is on, in one sentence."""
    asked = {
        Step.AWAY: tr("Put the mark on the end of the stick that is away from the target."),
        Step.TOWARD: tr("Put the mark on its end toward the target."),
        Step.LENGTH: tr("How long is the stick, in metres?"),
        Step.LEVEL: tr("The phone's own level, in degrees, + = turned clockwise seen from behind it. S leaves it out."),
        Step.TOP: tr("Put the mark on the top of something plumb, such as a door frame. S leaves it out."),
        Step.BOTTOM: tr("Put the mark on the bottom of the same plumb edge."),
    }
    return tr("All is marked.") if draft.step is None else asked[draft.step]


def say_count_of_step(draft: Draft) -> str:
    """Which of the steps it is."""
    if draft.step is None:
        return ""
    return tr("Step {n} of {all}", n=draft.at + 1, all=len(STEPS))


def say_found(found: CameraFound) -> str:
    """What follows from the marks, or why they were not used."""
    if not found.is_used:
        return " ".join(tr(note) for note in found.notes)
    off, error = round(abs(found.off_deg)), round(found.error_deg)
    if off == 0:
        said = tr("The camera stands square, give or take {error}°.", error=error)
    elif found.view is View.FACE_ON:
        said = (
            tr("The camera stands {off}° off square, give or take {error}°: the target end is farther away.")
            if found.off_deg > 0
            else tr("The camera stands {off}° off square, give or take {error}°: the target end is nearer.")
        ).format(off=off, error=error)
    else:
        said = (
            tr("The camera stands {off}° off square, give or take {error}°: the line runs to the player's side.")
            if found.off_deg > 0
            else tr("The camera stands {off}° off square, give or take {error}°: the line runs away from the player.")
        ).format(off=off, error=error)
    return " ".join((said, *(tr(note) for note in found.notes)))


def say_refusal(error: ValueError) -> str:
    """The reason that a file of the same numbers is refused for, as a sentence."""
    reason = str(error)
    return tr("Not kept: {reason}.", reason=reason)
