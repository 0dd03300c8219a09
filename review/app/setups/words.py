"""What the set-up pages say; without Qt."""

from collections.abc import Mapping, Sequence

from review.app.language import say_number, tr
from review.app.number_words import say_value
from review.app.sentences import say_sentences
from review.app.setups.holds import HoldsDraft, HoldStep
from review.app.setups.marking import STEPS, Draft, Step
from review.body import Hold, HoldReading
from review.body.response import Line
from review.jobs.measuring.accuracy import AccuracyCheck
from review.jobs.measuring.accuracy_words import say_error, say_verdict
from review.jobs.measuring.camera_marking import CameraFound
from review.jobs.measuring.player_marking import HoldsRead
from review.lesson import Handedness, View
from review.pose import Effort

_WAYS = {Effort.QUICK: "quick way", Effort.THOROUGH: "thorough way"}
_LINES: dict[Line, str] = {"hip": "hip_turn_deg", "shoulder": "shoulder_turn_deg"}


def say_camera(place: str, view: View | None) -> str:
    """Name a camera."""
    if view is None:
        return tr("Camera {name}", name=place or "1")
    name = {View.FACE_ON: tr("Face-on camera"), View.DOWN_THE_LINE: tr("Down-the-line camera")}[view]
    return name if place in ("", view.value) else tr("{camera}, named {name}", camera=name, name=place)


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
        return say_sentences(" ".join(found.notes))
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
    return " ".join((said, *(say_sentences(note) for note in found.notes)))


def say_hold_step(draft: HoldsDraft) -> str:
    """Ask for what is on of a hold, in one sentence."""
    is_first = not draft.holds
    asked = {
        HoldStep.BEGIN: tr("Go to where the address begins to be held, hips square.")
        if is_first
        else tr("Go to where the next position begins to be held. R reads them when all are marked."),
        HoldStep.END: tr("Go to where it ends to be held, about 2 seconds on."),
        HoldStep.HIPS: tr("To which mark do the hips point? + open to the target, − turned away; empty: to none."),
        HoldStep.SHOULDERS: tr("And the shoulders? + open to the target, − turned away; empty: to no mark."),
    }
    return asked[draft.step]


def say_hold(hold: Hold, handedness: Handedness, read: Mapping[Line, HoldReading] | None = None) -> str:
    """A hold with its marks on one line, beneath it what was read."""
    marks, found = [], []
    for line, measure in _LINES.items():
        marked = hold.hip_turn_deg if line == "hip" else hold.shoulder_turn_deg
        if marked is not None:
            marks.append(f"{_say_line(line)} {say_value(measure, marked, handedness)}")
        one = (read or {}).get(line)
        if one is not None:
            said = say_sentences(one.problem)
            if not said:
                said = f"{say_value(measure, one.read_deg, handedness)}, {say_sentences(say_error(one.error_deg))}"
            found.append(tr("{line} read {what}", line=_say_line(line), what=said))
    when = tr("{first} to {last} s", first=say_number(hold.from_s, 1), last=say_number(hold.to_s, 1))
    return "\n".join(part for part in (f"{when}   {', '.join(marks)}", "; ".join(found)) if part)


def say_holds(holds: Sequence[Hold], handedness: Handedness, read: HoldsRead | None) -> tuple[str, ...]:
    """All holds, each with what the quick way read in it."""
    checked = {} if read is None else read.checks[Effort.QUICK].lines
    return tuple(
        say_hold(
            hold, handedness, {line: one for line, check in checked.items() for of, one in check.readings if of == hold}
        )
        for hold in holds
    )


def _say_line(line: str) -> str:
    return tr("hips") if line == "hip" else tr("shoulders")


def say_check(check: AccuracyCheck) -> str:
    """What a check comes to, line by line."""
    said = []
    for line, checked in check.lines.items():
        if checked.errors_deg:
            verdict = say_sentences(say_verdict(checked))
            median = tr(
                "{line}: error {n}° in the middle.", line=_say_line(line).capitalize(), n=f"{checked.median_deg:.0f}"
            )
            unused = (
                tr("Not corrected: {why}.", why=say_sentences(checked.fit.why_unused)) if checked.fit.why_unused else ""
            )
            said.append(" ".join(part for part in (median, verdict, unused) if part))
    return " ".join(said)


def say_read(read: HoldsRead) -> str:
    """What both ways of measuring came to, and what was kept."""
    said = [f"{tr(_WAYS[effort])}: {say_check(check)}" for effort, check in read.checks.items()]
    kept = [tr(_WAYS[effort]) for effort, check in read.checks.items() if check.is_usable]
    if kept:
        said.append(tr("Kept ({ways}). M measures the lesson anew with it.", ways=", ".join(kept)))
    else:
        said.append(tr("Nothing was kept: no line can be corrected from these holds."))
    return "\n".join(said)


def say_refusal(error: ValueError) -> str:
    """The reason that a file of the same numbers is refused for, as a sentence."""
    return tr("Not kept: {reason}.", reason=say_sentences(str(error)))
