"""What is said of a mat's tables before they are kept, without Qt: the trace, how the mat lies, what is replaced."""

import math

from review.app.language import say_count, say_number, tr
from review.jobs.pressure.adding import AddedPressure, LookedAtMat
from review.jobs.pressure.mats import Mat
from review.pressure import PressureRecord


def say_trace(record: PressureRecord) -> str:
    """What a trace's table holds: 'time, x, y, force · 8800 samples, about 100 a second'."""
    columns = [tr("time, x, y")]
    if record.force_n is not None:
        columns.append(tr("force"))
    if record.lead_force_n is not None:
        columns.append(tr("lead foot's share"))
    samples = say_count(len(record.time_s), "1 sample", "{n} samples")
    if math.isfinite(record.step_s) and record.step_s > 0:
        samples += ", " + tr("about {n} a second", n=say_number(1 / record.step_s, 0))
    parts = [", ".join(columns), samples]
    if record.shots:
        parts.append(say_count(len(record.shots), "1 recording of a shot", "{n} recordings of shots"))
    elif record.started_at is None:
        parts.append(tr("without a time of day: it cannot be put to the swings"))
    return " · ".join(parts)


def say_mat(mat: Mat) -> str:
    """How the mat lies: 'mat turned by 3.7°, stance 43.5 cm'."""
    lies = mat.placement
    said = tr("mat turned by {n}°", n=say_number(lies.angle_deg, 1))
    if lies.is_mirrored:
        said += ", " + tr("mirrored")
    if lies.stance_cm is None:
        return said + ", " + tr("stance not known")
    said += ", " + tr("stance {n} cm", n=say_number(lies.stance_cm, 1))
    return said + (f" ({tr('approximate')})" if lies.is_approximate else "")


def say_replaced(looked: LookedAtMat) -> str:
    """What would be taken the place of, as a question; '' where nothing is."""
    parts = []
    if looked.mat is not None and looked.has_mat:
        parts.append(tr("how the mat lay until now"))
    if looked.record is not None and looked.n_traces:
        parts.append(say_count(looked.n_traces, "the pressure of 1 swing", "the pressure of {n} swings"))
    if not parts:
        return ""
    what = parts[0] if len(parts) == 1 else tr("{a} and {b}", a=parts[0], b=parts[1])
    return tr("This replaces {what}. Enter once more does it, Esc leaves it.", what=what)


def say_added(added: AddedPressure, has_trace: bool) -> str:
    """What came of it."""
    said = [] if added.mat is None or not added.mat.placement.has_angle else [f"{tr('Kept')}: {say_mat(added.mat)}."]
    if has_trace:
        said.append(tr("Pressure put to {n} of {all} swings.", n=added.n_new_traces, all=added.n_swings))
        if not added.read.swings:
            said.append(tr("Measure the lesson (M) for its numbers."))
    return " ".join(said)
