"""A comparison for the eye: the aim in full, everything else a line each."""

from collections.abc import Sequence
from dataclasses import dataclass

from rich.padding import Padding
from rich.table import Table
from rich.text import Text

from review.cli.screen import say, screen
from review.compare import Comparison, ScatterWord
from review.compare.window import say_inside
from review.lesson import KINDS, Handedness, Source, is_told_first
from review.lesson.changes import is_none_in_words, say_change, say_change_interval
from review.lesson.words import say_value


@dataclass(frozen=True)
class Side:
    """One of the two batches: what it is called, how much is in it, what was asked and felt."""

    name: str
    size: str
    n: int
    cue: str = ""
    feel: str = ""


def show_comparisons(
    comparisons: Sequence[Comparison],
    sides: tuple[Side, Side],
    handedness: Handedness,
    show_all: bool = False,
    how_to_aim: str = "say what it was about: --aim 'club path'",
) -> None:
    """Print what is compared, the aim in full, then the club and ball, then the body.

    ``how_to_aim`` is what the coach does where no aim is stated.
    """
    for word, side in zip(("First", "Last "), sides, strict=True):
        felt = f"; felt: {side.feel}" if side.feel else ""
        said = f": {side.cue or 'no cue'}{felt}" if side.cue or felt else ""
        say(f"{word}  {side.name} ({side.size}){said}")
    for warning in dict.fromkeys(warning for c in comparisons for warning in c.warnings):
        say(f"Mind: {warning}")
    aim = [c for c in comparisons if c.in_aim]
    others = [c for c in comparisons if not c.in_aim]
    sizes = (sides[0].n, sides[1].n)
    if aim:
        say("\nThe aim")
        for c in aim:
            _show_in_full(c, handedness, sizes)
    _show_what_is_missing(aim, how_to_aim)
    for heading, group in (
        ("Club and ball", [c for c in others if KINDS[c.name].source is Source.DEVICE]),
        ("Body and timing", [c for c in others if KINDS[c.name].source is not Source.DEVICE]),
    ):
        full = [c for c in group if show_all or c.inside is not None]
        group, n_all = [c for c in group if c in full or is_told_first(c.name, c.key_frame)], len(group)
        if group:
            say(f"\n{heading} (described, not judged)")
        for c in full:
            _show_in_full(c, handedness, sizes)
        if len(full) < len(group):
            _show_in_lines([c for c in group if c not in full], handedness)
        if len(group) < n_all:
            say("  More numbers of the pressure: --all")


def show_pressure(patterns: tuple[str, str]) -> None:
    """Print what the pressure does before impact in each of the two batches; both ways occur in good players."""
    if any(patterns):
        say("\nPressure before impact (described, not judged: good players do it either way)")
        for word, pattern in zip(("First", "Last "), patterns, strict=True):
            say(f"  {word}  {pattern or 'not known'}")


def _show_what_is_missing(aim: Sequence[Comparison], how_to_aim: str) -> None:
    """Say what has to be said before anything is judged."""
    tested = "from the device's booklet, or tested with: lesson-review repeatability A B"
    unknown = [c.label for c in aim if c.typical_error is None and c.n_first and c.n_last]
    if not aim:
        say(f"\nNothing is judged: no aim is stated; {how_to_aim}. And how far one reading errs:")
        say(f"--repeatability 'club path=0.5' ({tested}).")
    elif unknown:
        say(f"  To be judged, say how far one reading errs: --repeatability '{unknown[0]}=...' ({tested}).")
    if any(c.why.startswith("not the same") for c in aim):
        say("  --despite judges all the same.")


def _show_in_full(c: Comparison, handedness: Handedness, sizes: tuple[int, int]) -> None:
    verdict = c.verdict.value.upper() if c.in_aim else ""
    if not c.n_first or not c.n_last:
        say(f"  {c.label}   {verdict}")
        say(f"      {c.why}")
        return
    first, last = (say_value(c.name, mean, handedness) for mean in (c.mean_first, c.mean_last))
    few = f" ({c.n_first} and {c.n_last} of the shots have it)" if (c.n_first, c.n_last) != sizes else ""
    say(f"  {c.label}: {first} -> {last}{few}")
    if min(c.n_first, c.n_last) == 1:
        say(f"      one swing in a batch tells nothing of a change yet ({c.n_first} against {c.n_last})")
        return
    interval = say_change_interval(c.name, c.mean_first, c.mean_last, c.low, c.high, handedness)
    between = f" (19 times of 20: {interval})" if interval else ""
    change = say_change(c.name, c.mean_first, c.mean_last, handedness)
    say(f"      {change}{between}" + (f"   {verdict}" if verdict else ""))
    if c.inside is not None:
        say(f"      {say_inside(c.name, c.inside, handedness)}")
    scatter = c.scatter
    if scatter is not None and scatter.word is not ScatterWord.CANT_TELL:
        digits, unit = KINDS[c.name].decimals, KINDS[c.name].unit
        say(f"      scatter {scatter.word.value}: {c.sd_first:.{digits}f} -> {c.sd_last:.{digits}f}{unit}")
    told = (c.why, c.more_shots_words, c.note) if c.in_aim else (c.note,)
    for text in (*told, *c.remarks):
        if text:
            say(f"      {text}")


def _show_in_lines(group: Sequence[Comparison], handedness: Handedness) -> None:
    """A line each: from what to what, and how far; the intervals are shown with ``--all``."""
    table = Table(box=None, pad_edge=False, padding=(0, 2, 0, 0), show_header=False)
    for _ in range(3):
        table.add_column(overflow="fold")
    for c in (c for c in group if c.n_first and c.n_last):
        table.add_row(Padding(Text(c.label), (0, 0, 0, 2)), *(Text(words) for words in _in_short(c, handedness)))
    screen.print(table)
    lacking = [c.label for c in group if not c.n_first or not c.n_last]
    if lacking:
        say(f"  Not measured in both batches: {', '.join(lacking)} (--all says why)")


def _in_short(c: Comparison, handedness: Handedness) -> tuple[str, str]:
    first, last = (say_value(c.name, mean, handedness) for mean in (c.mean_first, c.mean_last))
    if min(c.n_first, c.n_last) == 1:
        return f"{first} -> {last}", "one swing tells nothing yet"
    change = say_change(c.name, c.mean_first, c.mean_last, handedness)
    # what all values of a batch may be off by together shows in no spread
    is_in_error = c.smallest_that_counts is not None and abs(c.difference) < c.smallest_that_counts
    may_be_none = (c.low <= 0 <= c.high or is_in_error) and not is_none_in_words(change)
    return f"{first} -> {last}", f"{change}, may be none" if may_be_none else change
