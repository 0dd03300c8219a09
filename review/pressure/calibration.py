"""How a mat lies, from three things the player does on it: stand still, lean on the lead foot, rise on the toes."""

from dataclasses import dataclass

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.pressure.placement import MatPlacement
from review.pressure.record import PressureRecord
from review.pressure.smoothing import smooth_with_gaps

STEPS = ("stand still", "weight on the lead foot", "weight on the toes of both feet")
_SHORTEST_S = 0.5
_LEAST_MOVE_CM = (5.0, 2.5)
"""Of the lead-foot and the toes step: less and the direction is lost in the sway. Common practice, no source."""
_MOST_TO_TOES_CM = 12.0
"""From standing to the balls of the feet: standing is about 5 cm before the ankles, the balls some 14 (no source)."""
_MOST_SWAY_CM = 1.5
"""Spread of a held step; quiet standing sways by well under 1 cm (from memory)."""
_FARTHEST_FROM_SQUARE_DEG = 25.0
_LEAST_FORCE_N, _FORCE_ALIKE = 100.0, 0.2
"""Somebody stands there, and on the mat with both feet in every step; common practice, no source."""
_QUIET_S, _QUIET_CM, _PLATEAU_S = 0.5, 0.6, 1.2
"""A held step: over so long it sways by less, and it lasts; common practice, no source, found on the sample lesson."""
_ORIGIN_SD_CM = 0.8
"""How far a player who stands still is from exactly between the feet; common practice, no source."""
_LEAN = 0.9
"""Part of the way to the lead foot that weight on it takes the pressure: the trail foot stays down (no source)."""


@dataclass(frozen=True)
class StepTimes:
    """First and last moment of each step, seconds after the first sample, in the order of ``STEPS``."""

    still_s: tuple[float, float]
    lead_s: tuple[float, float]
    toes_s: tuple[float, float]


@dataclass(frozen=True)
class _Held:
    mean_cm: FloatArray
    sway_cm: float
    force_n: float
    error_cm: float


def calibrate(
    record: PressureRecord, times: StepTimes | None = None, stance_cm: float | None = None, stand_x_cm: float = 0.0
) -> MatPlacement:
    """Find angle, mirror and origin of a mat from the three steps.

    The direction from standing still to weight on the lead foot is the target line; the toes lie on the side to which
    the pressure goes in the third step; midway between the feet is where it is when standing still, less what feet
    that are turned out differently make of it.

    Parameters
    ----------
    times : when the steps were held; None = the three quiet stretches of the record, in the order of ``STEPS``.
    stance_cm : distance of the feet as the coach measured it; None = told from how far the pressure goes onto the
        lead foot, and the placement is approximate.
    stand_x_cm : how far toward the target of midway the pressure is when standing still (``find_stand_x_cm``).

    Raises
    ------
    BadInputError
        A step is missing, was not held, or the steps contradict each other; the reason says which.
    """
    times = find_steps(record) if times is None else times
    held = [
        _hold(record, span, what) for span, what in zip((times.still_s, times.lead_s, times.toes_s), STEPS, strict=True)
    ]
    still, lead, toes = held
    forces = [one.force_n for one in held]
    if np.isfinite(forces).all() and max(forces) - min(forces) > _FORCE_ALIKE * forces[0]:
        raise _refuse(
            record,
            "about the same force in all three steps, both feet on the mat",
            ", ".join(f"{force:.0f} N" for force in forces),
        )
    to_lead, to_toes = lead.mean_cm - still.mean_cm, toes.mean_cm - still.mean_cm
    for move, what, least in ((to_lead, STEPS[1], _LEAST_MOVE_CM[0]), (to_toes, STEPS[2], _LEAST_MOVE_CM[1])):
        if np.hypot(*move) < least:
            raise _refuse(record, f"a move of {least:g} cm or more to '{what}'", f"{np.hypot(*move):.1f} cm")
    far_cm = float(np.hypot(*to_toes))
    if far_cm > min(_MOST_TO_TOES_CM, float(np.hypot(*to_lead))):
        raise _refuse(
            record,
            f"a move of {_MOST_TO_TOES_CM:g} cm or less to '{STEPS[2]}', shorter than that to '{STEPS[1]}' "
            f"({np.hypot(*to_lead):.1f} cm)",
            f"{far_cm:.1f} cm, as if the second and third step were exchanged",
        )
    cross = float(to_lead[0] * to_toes[1] - to_lead[1] * to_toes[0])
    between_deg = float(np.degrees(np.arctan2(abs(cross), to_lead @ to_toes)))
    if abs(between_deg - 90.0) > _FARTHEST_FROM_SQUARE_DEG:
        raise _refuse(record, "the toes about a quarter turn from the lead foot", f"{between_deg:.0f}°")
    error_cm = float(np.hypot(still.error_cm, lead.error_cm))
    length_cm = float(np.hypot(*to_lead))
    origin = still.mean_cm - stand_x_cm * to_lead / length_cm
    return MatPlacement(
        angle_deg=float(np.degrees(np.arctan2(to_lead[1], to_lead[0]))),
        is_mirrored=cross < 0,
        origin_cm=(float(origin[0]), float(origin[1])),
        stance_cm=stance_cm if stance_cm is not None else 2.0 * length_cm / _LEAN,
        is_approximate=stance_cm is None,
        angle_sd_deg=float(np.degrees(error_cm / length_cm)),
        origin_sd_cm=_ORIGIN_SD_CM,
    )


def find_steps(record: PressureRecord) -> StepTimes:
    """Find the three stretches in which the pressure stays where it is and somebody stands on the mat.

    Raises
    ------
    BadInputError
        There are fewer or more than three.
    """
    step_s = record.step_s
    n = max(3, round(_QUIET_S / step_s))
    x = record.xy_cm
    if len(x) < 3 * n:
        raise _refuse(record, f"{STEPS[0]}, {STEPS[1]}, {STEPS[2]}, a few seconds each", f"{len(x) * step_s:.1f} s")
    mean = smooth_with_gaps(x, n)
    variance = smooth_with_gaps(x**2, n) - mean**2
    is_quiet = np.nan_to_num(np.sqrt(np.clip(variance, 0, None).sum(axis=1)), nan=np.inf) < _QUIET_CM
    if record.force_n is not None:
        is_quiet &= np.nan_to_num(record.force_n) > max(_LEAST_FORCE_N, 0.5 * float(np.nanmedian(record.force_n)))
    edges = np.flatnonzero(np.diff(np.concatenate([[False], is_quiet, [False]]).astype(int)))
    spans: list[list[int]] = []
    for start, stop in edges.reshape(-1, 2):
        if spans:
            before = np.nanmedian(mean[spans[-1][0] : spans[-1][1]], axis=0)
            if np.hypot(*(np.median(mean[start:stop], axis=0) - before)) < _LEAST_MOVE_CM[1]:
                spans[-1][1] = int(stop)  # one step, in which the player swayed a little
                continue
        spans.append([int(start), int(stop)])
    long = [(a, b) for a, b in spans if (b - a) * step_s >= _PLATEAU_S]
    if len(long) != len(STEPS):
        raise _refuse(
            record,
            f"three stretches held still ({'; '.join(STEPS)})",
            f"{len(long)}; hold each for four seconds, or say when each was held",
        )
    inner = [(float(record.time_s[a]), float(record.time_s[b - 1])) for a, b in long]
    return StepTimes(*inner)


def _hold(record: PressureRecord, span_s: tuple[float, float], what: str) -> _Held:
    inside = (record.time_s >= span_s[0]) & (record.time_s <= span_s[1])
    kept = inside & np.isfinite(record.xy_cm).all(axis=1)
    if kept.sum() < 3 or kept.sum() * record.step_s < _SHORTEST_S:
        raise _refuse(record, f"'{what}' held for a second or more", f"{kept.sum() * record.step_s:.1f} s of samples")
    force_n = np.nan
    if record.force_n is not None:
        force_n = float(np.nanmean(record.force_n[kept])) if np.isfinite(record.force_n[kept]).any() else 0.0
        if force_n < _LEAST_FORCE_N:
            raise _refuse(record, f"somebody on the mat in '{what}'", f"a force of {force_n:.0f} N")
    xy = record.xy_cm[kept]
    sway_cm = float(np.sqrt(xy.var(axis=0).sum()))
    if sway_cm > _MOST_SWAY_CM:
        raise _refuse(record, f"'{what}' held still", f"a pressure that wanders by {sway_cm:.1f} cm")
    # sway is slow: about one reading a second is one of its own
    n_own = max(1.0, kept.sum() * record.step_s)
    return _Held(xy.mean(axis=0), sway_cm, force_n, sway_cm / np.sqrt(n_own))


def _refuse(record: PressureRecord, expected: str, found: str) -> BadInputError:
    return BadInputError(
        f"{record.table}: expected {expected}, found {found}; let the player repeat the three steps, "
        "or lay a stick along the mat's edge and give its angle"
    )
