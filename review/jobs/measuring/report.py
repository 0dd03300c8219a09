"""The measured swing as plain data for machines (``measure --json``, schema 1)."""

import math
from typing import Any

import numpy as np

from review.body import AGAINST_TARGET, Series
from review.jobs.measuring.one_swing import MeasuredSwing
from review.lesson import FloatArray

SCHEMA = 1


def make_measure_report(swing: MeasuredSwing) -> dict[str, Any]:
    """Return clips, frames, key frames and what is missing as JSON-ready data; NaN becomes None."""
    first = swing.clips[0]
    frames: dict[str, Any] = {"time_s": [round(float(t), 6) for t in first.seen.track.time_s]}
    why = {}
    for name, series in swing.body.series.items():
        frames.update(_columns(_field(name), series))
    for name, reason in swing.body.why_missing.items():
        why[_field(name)] = reason
    numbers = {}
    for name, reading in swing.body.readings.items():
        if reading.why_missing:
            why[name] = reading.why_missing
            continue
        low, high = reading.interval
        numbers[name] = {
            "value": round(reading.value, 3),
            "low": round(low, 3),
            "high": round(high, 3),
            "is_at_most": reading.is_at_most,
        }
    return {
        "schema": SCHEMA,
        "clips": [
            {
                "file": clip.path.name,
                "view": clip.seen.view.value,
                "view_found": clip.view_found,
                "view_certainty": round(clip.view_certainty, 2),
                "time_scale": clip.seen.time_scale,
                "time_scale_found": clip.time_scale_found,
                "strike_heard_s": clip.strike_s,
                "model": clip.seen.track.model,
                "mode": clip.seen.track.mode,
                "target_direction_deg": round(clip.seen.target.degrees, 2),
                "target_direction_sd_deg": round(clip.seen.target.sd_deg, 2),
                "notes": list(clip.notes),
            }
            for clip in swing.clips
        ],
        "frames": frames,
        "key_frames": {
            k.name.replace(" ", "_"): {
                "time_s": round(k.time_s, 5),
                "frame": k.frame,
                "certainty": round(k.certainty, 2),
                "source": k.source,
            }
            for k in first.seen.key_frames
        },
        "tempo": {m.name: (None if math.isnan(m.value) else round(m.value, 3)) for m in swing.tempo},
        "numbers": numbers,
        "why_missing": why,
    }


def _field(name: str) -> str:
    if name.endswith(AGAINST_TARGET):
        return name.removesuffix("_deg" + AGAINST_TARGET) + "_against_target_deg"
    return name.replace("_turn_deg", "_turn_from_address_deg")


def _columns(field: str, series: Series) -> dict[str, list[float | None] | list[bool]]:
    columns: dict[str, list[float | None] | list[bool]] = {
        field: _numbers(series.value),
        f"{field}_low": _numbers(series.low),
        f"{field}_high": _numbers(series.high),
    }
    if "turn" in field:
        columns[f"{field}_saturated"] = [bool(b) for b in series.is_bound]
    return columns


def _numbers(values: FloatArray) -> list[float | None]:
    return [None if np.isnan(v) else round(float(v), 3) for v in values]
