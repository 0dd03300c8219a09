"""``match``: which clip is which shot, and why; the coach's corrections."""

import argparse

from review.cli.screen import add_lesson_argument, add_library_option, say, write_json
from review.errors import BadInputError
from review.jobs.matching import MatchedLesson
from review.jobs.rematching import rematch_lesson
from review.lesson import Swing, SwingKind
from review.library import Library


def add_parser(commands: "argparse._SubParsersAction[argparse.ArgumentParser]") -> None:
    """Add the command."""
    parser = commands.add_parser(
        "match",
        help="show which clip is which shot and why, or correct it",
        description="Match the clips of a lesson with the rows of the shot table by their clocks, and show what was "
        "paired. A pairing that you correct is kept for good and helps with the others.",
    )
    add_lesson_argument(parser)
    parser.add_argument("--explain", type=int, metavar="N", help="say why swing N is paired as it is")
    parser.add_argument(
        "--pair",
        action="append",
        default=[],
        metavar="N=ROW",
        help="swing N belongs to that row of the table; N=none: to no row",
    )
    kinds = ", ".join(kind.value for kind in SwingKind)
    parser.add_argument("--kind", action="append", default=[], metavar="N=KIND", help=f"swing N is a {kinds}")
    parser.add_argument("--json", action="store_true", help="print for a machine")
    add_library_option(parser)
    parser.set_defaults(run=run)


def run(options: argparse.Namespace) -> int:
    """Match again with the corrections and show the result."""
    with Library.open(options.library, create=False) as library:
        lesson = library.find_lesson(options.lesson)
        swings = {swing.order: swing for swing in library.swings(lesson.id)}
        corrections: dict[str, str | None] = {}
        rows = {shot.row_number: shot.id for shot in library.shots(lesson.id)}
        for text in options.pair:
            swing, row = _split(text, swings)
            if row != "none" and (not row.isdigit() or int(row) not in rows):
                raise BadInputError(
                    f"There is no row {row!r} in the table; rows are {min(rows, default=0)} to {max(rows, default=0)}."
                )
            if not swing.clips:
                raise BadInputError(
                    f"Swing {swing.order} has no clip; pair the swing that has the clip with row {row}."
                )
            for clip in swing.clips:
                corrections[clip.id] = None if row == "none" else rows[int(row)]
        kinds: dict[str, SwingKind] = {}
        for text in options.kind:
            swing, kind = _split(text, swings)
            if kind not in {k.value for k in SwingKind}:
                raise BadInputError(f"A swing is a {', '.join(k.value for k in SwingKind)}; got {kind!r}.")
            kinds.update({clip.id: SwingKind(kind) for clip in swing.clips})
        matched = rematch_lesson(library, lesson, corrections, kinds)
    if options.json:
        write_json(_as_data(matched), None)
    else:
        show_matching(matched, options.explain)
    return 1 if matched.questions else 0


def show_matching(matched: MatchedLesson, explain: int | None) -> None:
    """Print the swings in order with what was paired, then what is open."""
    if explain is not None:
        swing = next((s for s in matched.swings if s.order == explain), None)
        if swing is None:
            raise BadInputError(f"There is no swing {explain}; this lesson has {len(matched.swings)}.")
        say(f"Swing {explain}: {_why(matched, swing)}")
        return
    say(f"{'swing':>5}  {'row':>3}  {'struck at':<9}  {'sure':>5}  clips")
    for swing in matched.swings:
        row = "-" if swing.shot is None else str(swing.shot.row_number)
        at = "" if swing.shot is None or swing.shot.struck_at is None else f"{swing.shot.struck_at:%H:%M:%S}"
        sure = "" if swing.pairing_probability is None else f"{swing.pairing_probability:.0%}"
        clips = ", ".join(clip.original_name for clip in swing.clips) or "no clip"
        kind = "" if swing.kind is SwingKind.SHOT else f"  ({swing.kind.value})"
        say(f"{swing.order:>5}  {row:>3}  {at:<9}  {sure:>5}  {clips}{kind}")
    if matched.clock_offset_s is not None:
        ahead = "ahead of" if matched.clock_offset_s >= 0 else "behind"
        minutes, seconds = divmod(abs(matched.clock_offset_s), 60)
        say(f"The camera's clock runs {minutes:.0f} min {seconds:.1f} s {ahead} the device's.")
    for question in matched.questions:
        say(f"Question: {question}")


def _why(matched: MatchedLesson, swing: Swing) -> str:
    if swing.pairing_source == "coach":
        return "paired by you."
    ids = {clip.id for clip in swing.clips}
    for pair in matched.matching.pairs:
        if ids & set(pair.clip_ids):
            return pair.why
    for group, reason in matched.matching.unmatched_groups:
        if ids & {moment.clip_id for moment in group}:
            return reason
    for row, reason in matched.matching.unmatched_rows:
        if swing.shot is not None and row.row_id == swing.shot.id:
            return reason
    return "nothing to pair."


def _split(text: str, swings: dict[int, Swing]) -> tuple[Swing, str]:
    number, equals, value = text.partition("=")
    if not equals or not number.strip().isdigit() or int(number) not in swings:
        last = max(swings, default=0)
        raise BadInputError(f"Expected SWING=VALUE with a swing of this lesson (1 to {last}), got {text!r}.")
    return swings[int(number)], value.strip()


def _as_data(matched: MatchedLesson) -> dict[str, object]:
    return {
        "clock_offset_s": matched.clock_offset_s,
        "questions": list(matched.questions),
        "swings": [
            {
                "order": swing.order,
                "kind": swing.kind.value,
                "row": None if swing.shot is None else swing.shot.row_number,
                "clips": [clip.original_name for clip in swing.clips],
                "probability": swing.pairing_probability,
                "why": _why(matched, swing),
            }
            for swing in matched.swings
        ],
    }
