"""What matching found out about clocks and rows, in sentences for the coach."""

from collections.abc import Sequence

from review.jobs.pairing.clock_moments import as_datetime
from review.lesson import Shot
from review.sync import Clock, ClockStretch, Matching

_HOUR_S = 3600.0
_NEAR_AN_HOUR_S = 600.0


def tell_matching(
    matching: Matching, shots: Sequence[Shot], repeated: Sequence[Shot], trace_clocks: Sequence[Clock | None]
) -> tuple[str, ...]:
    """Say what the coach should know beside pairs and questions."""
    numbers = {shot.id: shot for shot in shots}
    notes = []
    if repeated:
        notes.append(f"{_count(len(repeated), 'row')} said again what another row says (used once): {_rows(repeated)}.")
    for why in dict.fromkeys(why for _, why in matching.doubles):
        rows = [numbers[row.row_id] for row, reason in matching.doubles if reason == why]
        notes.append(
            f"{rows[0].table}: {_count(len(rows), 'row')} set aside, because {why}: {_rows(rows)}. They are kept."
        )
    notes += [_tell_set_clock(a, b) for a, b in zip(matching.stretches[:-1], matching.stretches[1:], strict=True)]
    notes += [
        f"The pressure trace has a clock of its own, {say_offset(clock.offset_s)} the device's; its pieces were put "
        f"beside the shots by the fastest move of the pressure, right to about half a second."
        for clock in trace_clocks
        if clock is not None
    ]
    return tuple(notes)


def tell_clocks(matching: Matching, is_exact: bool = True) -> tuple[str, ...]:
    """Say how the clocks stand to each other, one sentence for each stretch of the lesson.

    ``is_exact`` False leaves out how well it is known.
    """
    return tuple(_tell_stretch(stretch, len(matching.stretches) > 1, is_exact) for stretch in matching.stretches)


def say_offset(offset_s: float) -> str:
    """Say an offset: '7 min 0.4 s ahead of'."""
    hours, rest = divmod(abs(offset_s), _HOUR_S)
    minutes, seconds = divmod(rest, 60)
    parts = (
        [f"{hours:.0f} h"] * (hours > 0) + [f"{minutes:.0f} min"] * (hours > 0 or minutes > 0) + [f"{seconds:.1f} s"]
    )
    return f"{' '.join(parts)} {'ahead of' if offset_s >= 0 else 'behind'}"


def _tell_stretch(stretch: ClockStretch, is_part: bool, is_exact: bool) -> str:
    clock = stretch.clock
    when = ""
    if is_part:
        when = f"From {as_datetime(stretch.from_s):%H:%M:%S} to {as_datetime(stretch.to_s):%H:%M:%S}: "
    exactly = ""
    if is_exact:
        exactly = f" (± {clock.offset_spread_s:.2f} s, {_say_drift(clock)}; from {_count(stretch.n_pairs, 'pair')})"
    text = f"{when}The camera's clock is {say_offset(clock.offset_s)} the device's{exactly}."
    hours = round(clock.offset_s / _HOUR_S)
    if hours and abs(clock.offset_s - hours * _HOUR_S) <= _NEAR_AN_HOUR_S:
        text += f" {_count(abs(hours), 'whole hour')} of it may be time zone or daylight saving."
    return text


def _say_drift(clock: Clock) -> str:
    if abs(clock.drift_ppm) < 2 * clock.drift_spread_ppm:
        return "no drift to be seen"
    faster = "gains" if clock.drift_ppm > 0 else "loses"
    return f"it {faster} {abs(clock.drift_ppm) * 3.6:.0f} ± {clock.drift_spread_ppm * 3.6:.0f} ms an hour"


def _tell_set_clock(before: ClockStretch, after: ClockStretch) -> str:
    step = after.clock.offset_s - before.clock.offset_s
    sure = "" if before.is_sure and after.is_sure else " (not sure: their pairs are questions)"
    return (
        f"A clock was set during the lesson, between {as_datetime(before.to_s):%H:%M:%S} and "
        f"{as_datetime(after.from_s):%H:%M:%S}: the camera's "
        f"is then {say_offset(step)} where it was, seen from the device's{sure}."
    )


def _rows(shots: Sequence[Shot]) -> str:
    numbers = [str(shot.row_number) for shot in shots]
    return ", ".join(numbers[:10]) + (", ..." if len(numbers) > 10 else "")


def _count(n: int, what: str) -> str:
    return f"{n} {what}" if n == 1 else f"{n} {what}s"
