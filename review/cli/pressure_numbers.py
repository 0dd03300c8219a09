"""The tables of ``pressure``: a line a swing, what the columns mean above them."""

import textwrap
from collections.abc import Callable, Collection, Sequence
from dataclasses import dataclass

import numpy as np

from review.cli.screen import say
from review.jobs.pressure.impact_in_trace import BY_FORCE
from review.jobs.pressure.measuring import SwingPressure
from review.jobs.pressure.trail_foot import FOOT, pick_foot
from review.lesson import Bound, Measure

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

Grouped = Sequence[tuple[str, Sequence[SwingPressure], Sequence[str]]]
"""Batches: name, swings, what is said of the batch."""


def show_places(grouped: Grouped) -> None:
    """Print where the pressure lies and how far it goes back, batch by batch."""
    everything = [one for _, swings, _ in grouped for one in swings]
    say()
    say("Position between the feet: 0 % trail foot, 100 % lead foot.")
    if any(one.path.placement.is_approximate for one in everything):
        say("~ approximate: where the feet stood, or how far apart, was not seen.")
    say("Back: how far back toward the trail foot between arm level and impact.")
    say("Peak: when it is nearest to the target. Speed: the fastest toward the target.")
    say("±: half a 90 % interval. -: not known; --json says why.")
    for name, swings, lines in grouped:
        say()
        for text in (": ".join([name, *lines[:1]]), *(f"  {line}" for line in lines[1:])):
            for line in textwrap.wrap(text, 78, subsequent_indent="    "):
                say(line)
        _show_rows(_PLACES, swings, lambda one: one.measures)
    by_move = [one for one in everything if one.placed.by != BY_FORCE]
    if by_move:
        within_s = max(one.placed.within_s for one in by_move)
        say()
        say(f"* impact was found by the fastest move, not by the force: to {within_s:.2f} s.")


def show_moves(grouped: Grouped) -> None:
    """Print how far and whereto the pressure has moved since the top."""
    say()
    say("How far it has moved since the top, at arm level and at impact, and whereto:")
    say("0° toward the target, + toward the toes, - toward the heels, 180° away from")
    say("the target. Way: its length from top to impact. Loading: the steepest rise of")
    say("the force, in body weights a second.")
    _show_all(_MOVES, grouped, lambda one: one.measures)


def show_shares(grouped: Grouped) -> None:
    """Print the lead foot's part of the force, where both feet were measured apart."""
    if _is_any(_SHARES, grouped, lambda one: one.measures):
        say()
        say("The lead foot's part of the force, and its own loading.")
        _show_all(_SHARES, grouped, lambda one: one.measures)


def show_foot(grouped: Grouped, body: dict[str, tuple[Measure, ...]]) -> None:
    """Print what the pictures say of each swing's trail foot, if anything."""

    def measured(one: SwingPressure) -> tuple[Measure, ...]:
        return pick_foot(body.get(one.swing.id, ()))

    if _is_any(_FOOT, grouped, measured):
        say()
        say("The trail foot in the pictures. Twist: + toe turned toward the target, told")
        say("only until the heel is off. Slip: + toward the target. Heel-off: before impact.")
        _show_all(_FOOT, grouped, measured)


Measured = Callable[[SwingPressure], Collection[Measure]]


def _is_any(columns: Sequence[_Column], grouped: Grouped, measured: Measured) -> bool:
    keys = {(column.name, column.key_frame) for column in columns}
    return any(
        (m.name, m.key_frame) in keys and not m.why_missing
        for _, swings, _ in grouped
        for one in swings
        for m in measured(one)
    )


def _show_all(columns: Sequence[_Column], grouped: Grouped, measured: Measured) -> None:
    _show_rows(columns, [one for _, swings, _ in grouped for one in swings], measured)


def _show_rows(columns: Sequence[_Column], swings: Sequence[SwingPressure], measured: Measured) -> None:
    say("        " + "".join(f"{column.head:>{_WIDTH}}" for column in columns))
    say("  swing " + "".join(f"{column.under:>{_WIDTH}}" for column in columns))
    for one in swings:
        by_key = {(m.name, m.key_frame): m for m in measured(one)}
        cells = (
            _cell(by_key.get((column.name, column.key_frame)), one.path.placement.is_approximate) for column in columns
        )
        mark = " " if one.placed.by == BY_FORCE else "*"
        say(f"  {one.swing.order:>4}{mark} " + "".join(f"{cell:>{_WIDTH}}" for cell in cells))


def _cell(found: Measure | None, is_approximate: bool) -> str:
    if found is None or found.why_missing:
        return "-"
    digits = found.kind.decimals
    half = (found.high - found.low) / 2
    about = "~" if found.name == "pressure_position_pct" and is_approximate else ""
    about += {Bound.NONE: "", Bound.AT_LEAST: "≥", Bound.AT_MOST: "≤"}[found.bound]
    value = round(found.value, digits) + 0.0  # no "-0"
    return f"{about}{value:.{digits}f}" + (f" ±{half:.{digits}f}" if np.isfinite(half) else "")
