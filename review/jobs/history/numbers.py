"""A history as plain numbers, for a file."""

from dataclasses import asdict
from typing import Any

from review.compare.over_visits import Visit
from review.compare.visits import Kept
from review.jobs.history.reading import History


def list_numbers(history: History) -> dict[str, Any]:
    """Every number of a history, in the measure's unit and sign; days as 2026-03-14."""
    return {
        "pupil": history.pupil.name,
        "measure": history.key[0],
        "key_frame": history.key[1],
        "camera_error_kept_between_visits": history.keeps_shared_error,
        "visits": [_visit(visit) for visit in history.visits],
        "cues": [asdict(cue) for cue in history.cues],
        "cues_not_counted": history.n_mixed,
        "long_run": list(history.long_run),
    }


def _visit(visit: Visit) -> dict[str, Any]:
    change = visit.change
    return {
        "held_on": visit.lesson.held_on.isoformat(),
        "lesson": visit.lesson.id,
        "aim": visit.lesson.aim,
        "batches": [
            {
                "number": one.batch.number,
                "cue": one.batch.cue,
                "feel": one.batch.feel,
                "values": list(one.sample.values),
                "swings": list(one.sample.numbers),
                "mean": one.point.mean,
                "low": one.point.low,
                "high": one.point.high,
            }
            for one in visit.batches
        ],
        "change": None
        if change is None
        else {
            "difference": change.difference,
            "low": change.low,
            "high": change.high,
            "verdict": change.verdict.value,
            "why": change.why,
        },
        "held": _kept(visit.kept, visit.kept_of.held_on.isoformat() if visit.kept_of else ""),
        "since_last_visit": _kept(visit.since, visit.since_of.held_on.isoformat() if visit.since_of else ""),
        "warnings": [warning.said for warning in visit.warnings],
    }


def _kept(kept: Kept | None, of: str) -> dict[str, Any] | None:
    return None if kept is None else {"of": of, **asdict(kept), "outcome": kept.outcome.value}
