"""Between rows of the database and what was found and drawn: key frame, measure, drawing."""

import json
import math
import sqlite3

from review.lesson import Bound, Drawing, DrawingKind, KeyFrame, Measure
from review.library.rows import Values


def from_key_frame(key_frame: KeyFrame, clip_id: str) -> Values:
    return {
        "clip_id": clip_id,
        "name": key_frame.name,
        "time_s": key_frame.time_s,
        "frame": key_frame.frame,
        "certainty": key_frame.certainty,
        "source": key_frame.source,
        "note": key_frame.note,
    }


def to_key_frame(row: sqlite3.Row | Values) -> KeyFrame:
    return KeyFrame(row["name"], row["time_s"], row["frame"], row["certainty"], row["source"], row["note"])


def from_measure(measure: Measure, swing_id: str, method: str) -> Values:
    return {
        "swing_id": swing_id,
        "name": measure.name,
        "key_frame": measure.key_frame,
        "value": _number(measure.value),
        "low": _number(measure.low),
        "high": _number(measure.high),
        "own_sd": measure.own_sd,
        "shared_sd": measure.shared_sd,
        "setup": measure.setup,
        "bound": measure.bound.value,
        "why_missing": measure.why_missing,
        "method": method,
    }


def to_measure(row: sqlite3.Row | Values) -> Measure:
    def number(name: str) -> float:
        return math.nan if row[name] is None else float(row[name])

    return Measure(
        name=row["name"],
        value=number("value"),
        key_frame=row["key_frame"],
        low=number("low"),
        high=number("high"),
        own_sd=row["own_sd"],
        shared_sd=row["shared_sd"],
        setup=row["setup"],
        bound=Bound(row["bound"]),
        why_missing=row["why_missing"],
    )


def from_drawing(drawing: Drawing, clip_id: str) -> Values:
    return {
        "id": drawing.id,
        "clip_id": clip_id,
        "kind": drawing.kind.value,
        "points": json.dumps(drawing.points),
        "start_s": drawing.start_s,
        "end_s": drawing.end_s,
        "words": drawing.text,
        "tied_to": drawing.tied_to,
        "tied_at_s": drawing.tied_at_s,
        "accent": drawing.accent,
    }


def to_drawing(row: sqlite3.Row) -> Drawing:
    return Drawing(
        id=row["id"],
        kind=DrawingKind(row["kind"]),
        points=tuple((float(x), float(y)) for x, y in json.loads(row["points"])),
        start_s=row["start_s"],
        end_s=row["end_s"],
        text=row["words"],
        tied_to=row["tied_to"],
        tied_at_s=row["tied_at_s"],
        accent=row["accent"],
    )


def _number(value: float) -> float | None:
    return None if math.isnan(value) else value
