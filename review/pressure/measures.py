"""The numbers of one pressure trace: at the key frames and between them."""

from collections.abc import Iterator, Mapping

import numpy as np

from review.lesson import Z90, KeyFrameName, Measure
from review.pressure.path import PressurePath

AT = (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.ARM_LEVEL, KeyFrameName.IMPACT)
_TOP, _LEVEL, _IMPACT = KeyFrameName.TOP, KeyFrameName.ARM_LEVEL, KeyFrameName.IMPACT
_SHARE_SD_PCT, _SPEED_SD_CM_S = 1.0, 5.0
"""Of one share and of the fastest speed; common practice, no source."""
_NOISE_CM = 0.2
"""Of one smoothed place; from the samples' own scatter, common practice, no source."""
_STANCE_SD = 0.03
"""Of a stance as told by the coach or seen (in the sample lesson off by 0.5 to 2.5 %); common practice, no source."""
_STANCE_APPROXIMATE_SD = 0.1
"""Of one that is only approximate; common practice, no source."""
_NO_ANGLE = "how the mat lies is not known"
_NO_ORIGIN = "where the player stands on the mat is not known: address is not in the recording"
_TOWARD_TARGET = ("pressure_direction_deg", "pressure_speed_cm_s", "pressure_peak_ms", "pressure_return_cm")
_LEAST_DIRECTION_CM = 1.0
"""Shorter moves have no direction worth saying."""


def read_pressure(
    path: PressurePath, moments_s: Mapping[str, float], setup: str = "", key_sd_s: float = 0.0
) -> tuple[Measure, ...]:
    """Read all pressure numbers of one swing.

    Position as in Ball & Best 2007 (J Sports Sci 25:757-770): place along the target line in percent of the distance
    of the feet, 0 trail, 100 lead. Moves: displacement from the top; direction 0 toward the target, + toward the toes.
    The return is how far the pressure goes away from the target again between arm level and impact. The peak is when
    it is nearest to the target between top and impact, + before impact. The loading rate is the steepest rise of the
    vertical force between top and impact, in body weights (the force at address) a second.

    Parameters
    ----------
    moments_s : true seconds after impact of key frames, by name.
    setup : names mat and calibration; what these err by is the same for all of a lesson.
    key_sd_s : how exactly the key frames are known; with how exactly the trace is placed it makes the intervals.

    Returns
    -------
    Measures of what is known; one that this trace cannot give says why.
    """
    time_sd_s = float(np.hypot(path.time_sd_s, key_sd_s))
    found = [*_at_key_frames(path, moments_s, time_sd_s, setup), *_moves(path, moments_s, time_sd_s, setup)]
    if not path.placement.has_angle:
        found = [_missing(m.name, m.key_frame, _NO_ANGLE) if m.name in _TOWARD_TARGET else m for m in found]
    return (*found, *_loading(path, moments_s))


def _at_key_frames(
    path: PressurePath, moments_s: Mapping[str, float], time_sd_s: float, setup: str
) -> Iterator[Measure]:
    velocity = np.abs(np.nan_to_num(path.velocity_cm_s[:, 0]))
    for name in (n for n in AT if n in moments_s):
        moment = moments_s[name]
        x = float(path.at(moment)[0])
        if path.lead_n is not None:
            share = path.share_at(moment)
            yield _measure("pressure_share_pct", share, name, own_sd=_SHARE_SD_PCT)
        if not path.placement.has_angle:
            yield _missing("pressure_position_pct", name, _NO_ANGLE)
            continue
        if not path.placement.has_origin:
            yield _missing("pressure_position_pct", name, _NO_ORIGIN)
            continue
        stance = path.placement.stance_cm
        if stance is None:
            yield _missing("pressure_position_pct", name, "how far the feet are apart is not known")
            continue
        near = np.abs(path.moments_s - moment) <= max(0.02, time_sd_s)
        own = np.hypot(_NOISE_CM, float(velocity[near].mean()) * time_sd_s) if near.any() else _NOISE_CM
        stance_sd = _STANCE_APPROXIMATE_SD if path.placement.is_approximate else _STANCE_SD
        shared = np.hypot(path.placement.origin_sd_cm, stance_sd * x)
        position = float(path.placement.to_position_pct(np.array([x]))[0])
        yield _measure("pressure_position_pct", position, name, 100 * own / stance, 100 * shared / stance, setup)


def _moves(path: PressurePath, moments_s: Mapping[str, float], time_sd_s: float, setup: str) -> Iterator[Measure]:
    if _TOP not in moments_s or _IMPACT not in moments_s:
        return
    top, impact = moments_s[_TOP], moments_s[_IMPACT]
    for name in (n for n in (_LEVEL, _IMPACT) if n in moments_s):
        move = path.at(moments_s[name]) - path.at(top)
        length = float(np.hypot(*move))
        ends = [np.hypot(*(path.at(moments_s[name] + d) - path.at(top + d))) for d in (-time_sd_s, time_sd_s)]
        own = float(np.hypot(_NOISE_CM, np.ptp(ends) / 2)) if np.isfinite(ends).all() else _NOISE_CM
        yield _measure("pressure_move_cm", length, name, own)
        if length < _LEAST_DIRECTION_CM:
            yield _missing("pressure_direction_deg", name, "it moved less than 1 cm")
        else:
            turned = float(np.degrees(np.arctan2(move[1], move[0])))
            angle_sd = float(np.degrees(own / length))
            yield _measure("pressure_direction_deg", turned, name, angle_sd, path.placement.angle_sd_deg, setup)
    moments, xy = path.between(top, impact)
    if not np.isfinite(xy).all():
        for what in ("pressure_path_cm", "pressure_speed_cm_s", "pressure_peak_ms"):
            yield _missing(what, "", "the trace has a gap between top and impact")
        return
    shifted = [_length(path, top + d, impact + d) for d in (-time_sd_s, time_sd_s)]
    own = float(np.hypot(_NOISE_CM, np.ptp(shifted) / 2)) if np.isfinite(shifted).all() else _NOISE_CM
    yield _measure("pressure_path_cm", _length(path, top, impact), "", own)
    inside = (path.moments_s >= top) & (path.moments_s <= impact)
    if inside.any():
        yield _measure("pressure_speed_cm_s", float(path.velocity_cm_s[inside, 0].max()), "", _SPEED_SD_CM_S)
    nearest = float(moments[int(np.argmax(xy[:, 0]))])
    step_s = float(path.moments_s[1] - path.moments_s[0])
    flat_s = float(np.ptp(moments[xy[:, 0] >= xy[:, 0].max() - 3 * _NOISE_CM])) / 2  # a flat peak has no sharp time
    peak_sd_ms = 1000 * float(np.sqrt(time_sd_s**2 + (step_s / 2) ** 2 + flat_s**2))
    yield _measure("pressure_peak_ms", 1000 * (impact - nearest), "", peak_sd_ms)
    if _LEVEL in moments_s:
        returns = [_return(path, moments_s[_LEVEL] + d, impact + d) for d in (0.0, -time_sd_s, time_sd_s)]
        own = float(np.hypot(_NOISE_CM, np.nanmax(returns) - np.nanmin(returns))) / 2 if returns else _NOISE_CM
        yield _measure("pressure_return_cm", returns[0], "", max(own, _NOISE_CM))


def _length(path: PressurePath, from_s: float, to_s: float) -> float:
    _, xy = path.between(from_s, to_s)
    return float(np.hypot(*np.diff(xy, axis=0).T).sum())


def _return(path: PressurePath, level_s: float, impact_s: float) -> float:
    _, xy = path.between(level_s, impact_s)
    return float(xy[:, 0].max() - xy[-1, 0])


def _loading(path: PressurePath, moments_s: Mapping[str, float]) -> Iterator[Measure]:
    if path.force_n is None or _TOP not in moments_s or _IMPACT not in moments_s:
        return
    address = moments_s.get(KeyFrameName.ADDRESS, float(path.moments_s[0]))
    weight = path.force_at(max(address, float(path.moments_s[0])))
    inside = (path.moments_s >= moments_s[_TOP]) & (path.moments_s <= moments_s[_IMPACT])
    if not weight > 0 or inside.sum() < 3:
        return
    for name, force in (("loading_rate_bw_s", path.force_n), ("lead_loading_rate_bw_s", path.lead_n)):
        if force is not None:
            rate = float(np.gradient(force, path.moments_s)[inside].max())
            yield _measure(name, rate / weight, "", 0.0)


def _measure(
    name: str, value: float, key_frame: str, own_sd: float = 0.0, shared_sd: float = 0.0, setup: str = ""
) -> Measure:
    if not np.isfinite(value):
        return _missing(name, key_frame, "the trace has a gap there")
    half = Z90 * float(np.hypot(own_sd, shared_sd))
    has_interval = half > 0
    return Measure(
        name,
        float(value),
        key_frame,
        low=value - half if has_interval else np.nan,
        high=value + half if has_interval else np.nan,
        own_sd=float(own_sd),
        shared_sd=float(shared_sd),
        setup=setup if shared_sd else "",
    )


def _missing(name: str, key_frame: str, why: str) -> Measure:
    return Measure(name, np.nan, key_frame, why_missing=why)
