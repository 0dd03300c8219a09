"""What ``measure`` prints of one swing."""

from collections.abc import Iterator, Sequence
from itertools import zip_longest

from review.body import AGAINST_TARGET, BodyMeasures, SeenSwing, read_off
from review.body.foot import QUICK
from review.body.response import LINES
from review.cli.screen import say
from review.jobs.measuring.one_swing import MeasuredClip, MeasuredSwing
from review.lesson import Z90, Bound, Handedness, KeyFrame, KeyFrameName, Measure
from review.lesson.words import say_measure
from review.pose import Effort

_SOURCES = {"pose": "by the body", "sound": "by the strike heard", "picture": "by the ball leaving", "coach": "marked"}
_TURNS = [f"{line}_turn_deg" for line in LINES]


def show_swing(swing: MeasuredSwing, handedness: Handedness, effort: Effort, setups: Sequence[str]) -> None:
    """Print clips, key frames and numbers; ``setups`` names the camera set-up file of each clip, in their order."""
    for clip, setup in zip_longest(swing.clips, setups, fillvalue=""):
        if isinstance(clip, MeasuredClip):
            _show_clip(clip, effort, setup)
    first = swing.clips[0].seen
    for k in first.key_frames:
        say(f"  {k.name:<10} {k.time_s:7.3f} s   frame {k.frame:<5} {_say_source(k)}")
    measures = (*read_off(swing.body, first, setup=""), *swing.tempo)
    lines = [(_label(measure), measure) for measure in measures if not measure.why_missing]
    against = list(_read_against_target(swing.body, first))
    n_turns = sum(measure.name in _TURNS for _, measure in lines)
    lines[n_turns:n_turns] = against
    width = max((len(label) for label, _ in lines), default=0)
    for label, measure in lines:
        say(f"  {label:<{width}}  {say_measure(measure, handedness)}")
    if not against:
        needed = f"a {'usable ' if setups else ''}camera set-up{' for each clip' if len(swing.clips) > 1 else ''}"
        say(f"  against the target line: not measured without {needed} (docs/camera_setup.md)")
    for reason, labels in _group_missing(measures).items():
        say(f"  {', '.join(labels)}: not measured, {reason}")
    say("In brackets: 90 % interval. Checked on rendered people only.")


def _show_clip(clip: MeasuredClip, effort: Effort, setup: str) -> None:
    how = "found" if clip.view_found else "as given"
    say(f"{clip.path.name}: {clip.seen.view.value} ({how}), {effort.value} run{_say_speed(clip)}")
    target = clip.seen.target
    if setup and target.is_known:
        say(f"  camera set-up {setup} used: target line known within {Z90 * target.sd_deg:.0f}°")
    elif setup:
        say(f"  camera set-up {setup} not used")
    for note in clip.notes:
        say(f"  Note on {clip.path.name}: {note}")


def _say_speed(clip: MeasuredClip) -> str:
    if clip.seen.time_scale == 1.0:
        return ""
    how = "found" if clip.time_scale_found else "as given"
    return f", true time = time in the file x {clip.seen.time_scale:.4g} ({how})"


def _say_source(key_frame: KeyFrame) -> str:
    how = _SOURCES.get(key_frame.source, f"by {key_frame.source}")
    return how if key_frame.source == "coach" else f"{how}, {100 * key_frame.certainty:.0f} % sure"


def _label(measure: Measure) -> str:
    if measure.name not in _TURNS:
        return measure.label
    return f"{measure.kind.label} from address at {measure.key_frame}"


def _read_against_target(body: BodyMeasures, first: SeenSwing) -> Iterator[tuple[str, Measure]]:
    """Both turns against the target line at impact, where a camera set-up gives its direction."""
    impact_s = next((k.time_s for k in first.key_frames if k.name == KeyFrameName.IMPACT), None)
    for name in _TURNS:
        series = body.series.get(name + AGAINST_TARGET)
        if series is None or impact_s is None:
            continue
        value, i = series.value_at(impact_s), series.at(impact_s)
        half = float(series.half_width[i])
        bound = Bound.AT_LEAST if series.is_bound[i] else Bound.NONE
        why = "" if value == value else "the body was not seen at impact"
        measure = Measure(name, value, "impact", value - half, value + half, bound=bound, why_missing=why)
        yield f"{measure.kind.label} against the target line at impact", measure


def _group_missing(measures: Sequence[Measure]) -> dict[str, list[str]]:
    """Reason -> what is missing for it; several of one kind are named once."""
    missing = [measure for measure in measures if measure.why_missing]
    groups: dict[str, list[str]] = {}
    for measure in missing:
        alone = sum((m.name, m.why_missing) == (measure.name, measure.why_missing) for m in missing) == 1
        label = _label(measure) if alone else measure.kind.label
        reason = "the quick run cannot tell it; run again without --quick" if measure.why_missing == QUICK else ""
        labels = groups.setdefault(reason or measure.why_missing, [])
        if label not in labels:
            labels.append(label)
    return groups
