"""What is learnt of a camera over all lessons: when strikes were heard and when the ball was seen leaving."""

from review.library.database import Database

_LATEST = 30


class Cameras(Database):
    """Knowledge of cameras; nothing of a pupil: when a clip goes, its numbers stay with the camera alone."""

    def note_seen_and_heard(self, clip_id: str, camera: str, heard_late_s: float, within_s: float) -> None:
        """Note how much later a clip's strike was heard than the ball was seen leaving; once for each clip."""
        values = {"clip_id": clip_id, "camera": camera, "heard_late_s": heard_late_s, "within_s": within_s}
        self._insert("seen_and_heard", values, "INSERT OR REPLACE")

    def seen_and_heard(self, camera: str) -> tuple[tuple[float, float], ...]:
        """The camera's latest clips, at most 30, the newest last: heard after seen, and room to each side, seconds."""
        found = self._execute(
            "SELECT heard_late_s, within_s FROM seen_and_heard WHERE camera = ? ORDER BY id DESC LIMIT ?",
            (camera, _LATEST),
        ).fetchall()
        return tuple((row["heard_late_s"], row["within_s"]) for row in reversed(found))
