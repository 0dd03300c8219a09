"""``match``: which clip is which shot, and why; the coach's corrections."""

import argparse

from review.cli.match.explain import explain_swing, say_why
from review.cli.match.screen import show_matching
from review.cli.screen import add_lesson_argument, add_library_option, choose_lesson, write_json
from review.errors import BadInputError
from review.jobs.pairing.match_notes import tell_clocks
from review.jobs.pairing.matching import MatchedLesson
from review.jobs.pairing.rematching import rematch_lesson
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
        lesson = choose_lesson(library, options.lesson, options.json)
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
        pupil = library.pupil(lesson.pupil_id)
    if options.json:
        write_json({"pupil": pupil.name, "lesson": lesson.held_on.isoformat(), **_as_data(matched)}, None)
    elif options.explain is not None:
        explain_swing(matched, options.explain)
    else:
        show_matching(matched, lesson.batches)
    return 1 if matched.questions else 0


def _split(text: str, swings: dict[int, Swing]) -> tuple[Swing, str]:
    number, equals, value = text.partition("=")
    if not equals or not number.strip().isdigit() or int(number) not in swings:
        last = max(swings, default=0)
        raise BadInputError(f"Expected SWING=VALUE with a swing of this lesson (1 to {last}), got {text!r}.")
    return swings[int(number)], value.strip()


def _as_data(matched: MatchedLesson) -> dict[str, object]:
    return {
        "clock_offset_s": matched.clock_offset_s,
        "clocks": list(tell_clocks(matched.matching)),
        "notes": list(matched.notes),
        "questions": list(matched.questions),
        "swings": [
            {
                "order": swing.order,
                "kind": swing.kind.value,
                "row": None if swing.shot is None else swing.shot.row_number,
                "clips": [clip.original_name for clip in swing.clips],
                "probability": swing.pairing_probability,
                "why": say_why(matched, swing),
            }
            for swing in matched.swings
        ],
    }
