"""Talks over clips: their logs as text, kept beside the voice so that they can be rendered again at any time."""

import json
import sqlite3
from dataclasses import asdict
from datetime import datetime
from typing import Any

from review.errors import BadInputError
from review.lesson import Drawing, DrawingKind, Moment, TalkOver
from review.library.database import Database


class TalkOvers(Database):
    """The talks of a lesson."""

    def add_talk_over(self, lesson_id: str, talk: TalkOver) -> None:
        """Add a talk; its voice was added before."""
        values = {
            "id": talk.id,
            "lesson_id": lesson_id,
            "voice_id": talk.voice_id,
            "made_at": talk.made_at.isoformat(),
            "log": _to_log(talk),
        }
        self._insert("talk_over", values)

    def talk_overs(self, lesson_id: str) -> tuple[TalkOver, ...]:
        """The talks of a lesson in the order in which they were made."""
        query = "SELECT * FROM talk_over WHERE lesson_id = ? ORDER BY made_at, rowid"
        return tuple(_to_talk(row) for row in self._execute(query, (lesson_id,)))

    def remove_talk_over(self, talk_id: str) -> None:
        """Take a talk off; its voice goes when this run has ended."""
        self._execute("DELETE FROM talk_over WHERE id = ?", (talk_id,))


def _to_log(talk: TalkOver) -> str:
    """What of a moment is as in the one before is left out: most of them differ by their frame alone."""
    rows, before = [], None
    for moment in talk.moments:
        now = _as_values(moment)
        rows.append({key: value for key, value in now.items() if before is None or before[key] != value})
        before = now
    return json.dumps({"rate_hz": talk.rate_hz, "n_samples": talk.n_samples, "moments": rows})


def _as_values(moment: Moment) -> dict[str, Any]:
    return {
        "at": moment.at,
        "clip": moment.clip_id,
        "frame": moment.frame,
        "speed": moment.speed,
        "view": list(moment.view),
        "drawings": [{**asdict(drawing), "kind": drawing.kind.value} for drawing in moment.drawings],
        "note": moment.note,
        "body": moment.with_body,
        "ghost": moment.ghost,
        "turn": moment.turn_deg,
    }


def _to_talk(row: sqlite3.Row) -> TalkOver:
    try:
        log = json.loads(row["log"])
        moments: list[Moment] = []
        values: dict[str, Any] = {}
        for changed in log["moments"]:
            values = {**values, **changed}
            moments.append(_to_moment(values))
        made_at = datetime.fromisoformat(row["made_at"])
        return TalkOver(row["id"], made_at, log["rate_hz"], log["n_samples"], tuple(moments), row["voice_id"])
    except (ValueError, KeyError, TypeError) as error:
        raise BadInputError("The log of a talk over a clip is damaged; take it off and talk anew.") from error


def _to_moment(values: dict[str, Any]) -> Moment:
    left, top, right, low = values["view"]
    return Moment(
        values["at"],
        values["clip"],
        values["frame"],
        values["speed"],
        (left, top, right, low),
        tuple(_to_drawing(drawn) for drawn in values["drawings"]),
        values["note"],
        # talks held before these were noted show none
        values.get("body", False),
        values.get("ghost"),
        values.get("turn", 0.0),
    )


def _to_drawing(values: dict[str, Any]) -> Drawing:
    points = tuple((x, y) for x, y in values["points"])
    return Drawing(**{**values, "kind": DrawingKind(values["kind"]), "points": points})
