"""The tables of ``pressure``: a line a swing, what the columns mean above them."""

import textwrap
from collections.abc import Callable, Collection, Iterable, Sequence
from dataclasses import dataclass

import numpy as np

from review.cli.screen import say
from review.jobs.pressure.batch_means import average_pressure
from review.jobs.pressure.impact_in_trace import BY_FORCE
from review.jobs.pressure.measuring import SwingPressure
from review.jobs.pressure.trail_foot import FOOT, find_missing, pick_foot
from review.lesson import KINDS, Bound, Measure, label

_WIDTH = 11


@dataclass(frozen=True)
class _Column:
    """What stands above it in two lines, and the measure in it."""

    head: str
    under: str
    name: str
    key_frame: str = ""


_PLACES = (
    _Column("at top", "%", "pressure_position_pct", "top"),
    _Column("arm level", "%", "pressure_position_pct", "arm level"),
    _Column("impact", "%", "pressure_position_pct", "impact"),
    _Column("back", "cm", "pressure_return_cm"),
    _Column("peak", "ms before", "pressure_peak_ms"),
    _Column("speed", "cm/s", "pressure_speed_cm_s"),
)
_MOVES = (
    _Column("arm level", "cm", "pressure_move_cm", "arm level"),
    _Column("toward", "°", "pressure_direction_deg", "arm level"),
    _Column("impact", "cm", "pressure_move_cm", "impact"),
    _Column("toward", "°", "pressure_direction_deg", "impact"),
    _Column("way", "cm", "pressure_path_cm"),
    _Column("loading", "weights/s", "loading_rate_bw_s"),
)
_SHARES = (
    _Column("at address", "%", "pressure_share_pct", "address"),
    _Column("top", "%", "pressure_share_pct", "top"),
    _Column("arm level", "%", "pressure_share_pct", "arm level"),
    _Column("impact", "%", "pressure_share_pct", "impact"),
    _Column("loading", "weights/s", "lead_loading_rate_bw_s"),
)
_FOOT_HEADS = (
    ("twist at", "arm level °"),
    ("twist at", "impact °"),
    ("slip", "cm"),
    ("to toes", "cm"),
    ("heel-off", "ms before"),
)
_FOOT = tuple(_Column(*heads, *key) for heads, key in zip(_FOOT_HEADS, FOOT, strict=True))

_PLACE_WORDS = {
    "pressure_position_pct": "Position between the feet: 0 % trail foot, 100 % lead foot.",
    "pressure_return_cm": "Back: how far back toward the trail foot between arm level and impact.",
    "pressure_peak_ms": "Peak: when it is nearest to the target.",
    "pressure_speed_cm_s": "Speed: the fastest toward the target.",
}
_QUICK_HINT = "measure thoroughly"
_HOW = f"{_QUICK_HINT} (lesson-review measure --lesson NAME)"

Grouped = Sequence[tuple[str, Sequence[SwingPressure], Sequence[str]]]
"""Batches: name, swings, what is said of the batch."""


def show_places(grouped: Grouped) -> None:
    """Print where the pressure lies and how far it goes back, batch by batch with their means."""
    everything = [one for _, swings, _ in grouped for one in swings]
    columns = _known(_PLACES, everything, _own)
    names = {column.name for column in columns}
    say()
    for name, line in _PLACE_WORDS.items():
        if name in names:
            say(line)
    if "pressure_position_pct" in names and any(one.path.placement.is_approximate for one in everything):
        say("~ approximate: where the feet stood, or how far apart, was not seen.")
    if columns:
        say("±: half a 90 % interval. -: not known; --json says why. Mean: of the batch.")
    _say_unknown(_PLACES, columns, everything)
    for name, swings, lines in grouped:
        if columns or lines:
            say()
        for text in (": ".join([name, *lines[:1]]), *(f"  {line}" for line in lines[1:])) if columns or lines else ():
            for line in textwrap.wrap(text, 78, subsequent_indent="    "):
                say(line)
        if columns:
            _show_rows(columns, swings, _own, with_mean=bool(lines))
    by_move = [one for one in everything if one.placed.by != BY_FORCE]
    if by_move:
        within_s = max(one.placed.within_s for one in by_move)
        say()
        say(f"* impact was found by the fastest move, not by the force: to {within_s:.2f} s.")


def show_moves(grouped: Grouped) -> None:
    """Print how far and whereto the pressure has moved since the top."""
    say()
    say("How far it has moved since the top, at arm level and at impact, and whereto:")
    if any(column.name == "pressure_direction_deg" for column in _known(_MOVES, _all_of(grouped), _own)):
        say("0° toward the target, + toward the toes, - toward the heels, 180° away from")
        say("the target.")
    say("Way: its length from top to impact. Loading: the steepest rise of the force,")
    say("in body weights a second.")
    _show_all(_MOVES, grouped, _own)


def show_shares(grouped: Grouped) -> None:
    """Print the lead foot's part of the force, where both feet were measured apart."""
    if _known(_SHARES, _all_of(grouped), _own):
        say()
        say("The lead foot's part of the force, and its own loading.")
        _show_all(_SHARES, grouped, _own)


def show_foot(grouped: Grouped, body: dict[str, tuple[Measure, ...]]) -> None:
    """Print what the pictures say of each swing's trail foot, if anything."""

    def measured(one: SwingPressure) -> tuple[Measure, ...]:
        return pick_foot(body.get(one.swing.id, ()))

    if _known(_FOOT, _all_of(grouped), measured):
        say()
        say("The trail foot in the pictures. Twist: + toe turned toward the target, told")
        say("only until the heel is off. Slip: + toward the target. Heel-off: before impact.")
        _show_all(_FOOT, grouped, measured)
    _say_reasons((label(name), why) for name, why in find_missing([body.get(s.swing.id, ()) for s in _all_of(grouped)]))


Measured = Callable[[SwingPressure], Collection[Measure]]


def _own(one: SwingPressure) -> Collection[Measure]:
    return one.measures


def _all_of(grouped: Grouped) -> list[SwingPressure]:
    return [one for _, swings, _ in grouped for one in swings]


def _known(columns: Sequence[_Column], swings: Sequence[SwingPressure], measured: Measured) -> list[_Column]:
    """The columns in which any swing has a number."""
    known = {(m.name, m.key_frame) for one in swings for m in measured(one) if not m.why_missing}
    return [column for column in columns if (column.name, column.key_frame) in known]


def _say_unknown(columns: Sequence[_Column], known: Sequence[_Column], swings: Sequence[SwingPressure]) -> None:
    """Say why columns are left out, each reason once."""
    reasons = {(m.name, m.key_frame): m.why_missing for one in swings for m in one.measures if m.why_missing}
    left_out = [column for column in columns if column not in known]
    _say_reasons(
        (label(column.name), reasons[column.name, column.key_frame])
        for column in left_out
        if (column.name, column.key_frame) in reasons
    )


def _say_reasons(reasons: Iterable[tuple[str, str]]) -> None:
    by_reason: dict[str, dict[str, None]] = {}
    for name, why in reasons:
        by_reason.setdefault(why.replace(_QUICK_HINT, _HOW), {})[name] = None
    for why, names in by_reason.items():
        for line in textwrap.wrap(f"No {', no '.join(names)}: {why}.", 78, subsequent_indent="  "):
            say(line)


def _show_all(columns: Sequence[_Column], grouped: Grouped, measured: Measured) -> None:
    _show_rows(_known(columns, _all_of(grouped), measured), _all_of(grouped), measured)


def _show_rows(
    columns: Sequence[_Column], swings: Sequence[SwingPressure], measured: Measured, with_mean: bool = False
) -> None:
    say("        " + "".join(f"{column.head:>{_WIDTH}}" for column in columns))
    say("  swing " + "".join(f"{column.under:>{_WIDTH}}" for column in columns))
    for one in swings:
        by_key = {(m.name, m.key_frame): m for m in measured(one)}
        cells = (
            _cell(by_key.get((column.name, column.key_frame)), one.path.placement.is_approximate) for column in columns
        )
        mark = " " if one.placed.by == BY_FORCE else "*"
        say(f"  {one.swing.order:>4}{mark} " + "".join(f"{cell:>{_WIDTH}}" for cell in cells))
    if with_mean and len(swings) > 1:
        means = average_pressure(swings, [(column.name, column.key_frame) for column in columns])
        said = {(m.name, m.key_frame): _say_number(m.name, m.mean, m.half, m.is_about) for m in means}
        cells = (said.get((column.name, column.key_frame), "-") for column in columns)
        say("  mean  " + "".join(f"{cell:>{_WIDTH}}" for cell in cells))


def _cell(found: Measure | None, is_approximate: bool) -> str:
    if found is None or found.why_missing:
        return "-"
    is_about = found.name == "pressure_position_pct" and is_approximate
    bound = {Bound.NONE: "", Bound.AT_LEAST: "≥", Bound.AT_MOST: "≤"}[found.bound]
    return bound + _say_number(found.name, found.value, (found.high - found.low) / 2, is_about)


def _say_number(name: str, value: float, half: float, is_about: bool) -> str:
    digits = KINDS[name].decimals
    value = round(value, digits) + 0.0  # no "-0"
    return ("~" if is_about else "") + f"{value:.{digits}f}" + (f" ±{half:.{digits}f}" if np.isfinite(half) else "")
