"""Numbers of a newer method, kept beside those in use until the coach accepts or drops them."""

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from review.lesson import KeyFrame, Measure
from review.library import finding_rows
from review.library.database import Database


@dataclass(frozen=True)
class MeasuredAgain:
    """What a newer method says of one swing.

    ``made_from`` names everything that went into it, so that it is not accepted once that has changed; ``key_frames``
    are those found, by clip id; ``trouble`` says why it could not be measured ('' = it was).
    """

    swing_id: str
    method: str
    made_from: str
    measures: tuple[Measure, ...] = ()
    key_frames: Mapping[str, tuple[KeyFrame, ...]] | None = None
    trouble: str = ""


class MeasuredAgainRows(Database):
    """Numbers that wait to be accepted."""

    def put_aside(self, results: Sequence[MeasuredAgain]) -> None:
        """Keep results beside the numbers in use, in the place of earlier ones of their swings."""
        with self.transaction():
            for one in results:
                key_frames = {
                    id: [finding_rows.from_key_frame(key_frame, id) for key_frame in listed]
                    for id, listed in (one.key_frames or {}).items()
                }
                values = {
                    "swing_id": one.swing_id,
                    "method": one.method,
                    "made_from": one.made_from,
                    "measures": json.dumps([finding_rows.from_measure(m, one.swing_id, "") for m in one.measures]),
                    "key_frames": json.dumps(key_frames),
                    "trouble": one.trouble,
                }
                self._insert("measured_again", values, "INSERT OR REPLACE")

    def waiting(self, lesson_id: str) -> dict[str, MeasuredAgain]:
        """What waits to be accepted in a lesson, by swing id."""
        found = self._execute(
            "SELECT measured_again.* FROM measured_again JOIN swing ON swing.id = swing_id WHERE lesson_id = ? "
            "ORDER BY position",
            (lesson_id,),
        )
        return {
            row["swing_id"]: MeasuredAgain(
                row["swing_id"],
                row["method"],
                row["made_from"],
                tuple(finding_rows.to_measure(values) for values in json.loads(row["measures"])),
                {
                    id: tuple(finding_rows.to_key_frame(values) for values in listed)
                    for id, listed in json.loads(row["key_frames"]).items()
                },
                row["trouble"],
            )
            for row in found
        }

    def drop_waiting(self, swing_id: str) -> None:
        """Let go of what waits for a swing; the numbers in use stay."""
        self._execute("DELETE FROM measured_again WHERE swing_id = ?", (swing_id,))
