"""A hitting bay on fast forward: clips dropped into a folder, a table that grows, a clock of its own."""

import json
import shutil
from collections.abc import Callable
from datetime import date, datetime, timedelta
from pathlib import Path

from review.jobs.live.beginning import LiveRequest, begin_lesson
from review.jobs.live.session import LiveSession
from review.lesson import Consent, Handedness, Purpose
from review.library import Library

SAMPLE = Path(__file__).parents[3] / "sample_clips"
CLIPS = sorted((SAMPLE / "clips").glob("*.mp4"))
HEADER, *ROWS = (SAMPLE / "shots.csv").read_text(encoding="utf-8").splitlines()
TRUTH = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))
DAY = date(2026, 3, 14)
# the sample's camera runs 192.4 s ahead of its device; this computer is made to run 30 s ahead of it
CAMERA_AHEAD_OF_HERE = timedelta(seconds=192.4 - 30.0)
DEVICE_AHEAD_OF_HERE = timedelta(seconds=-30.0)


class Bay:
    """What stands in the bay, and a session that follows it; ``told`` are the events so far."""

    def __init__(self, folder: Path, begins: str = "10:11:00") -> None:
        self.clips = folder / "clips"
        self.clips.mkdir(exist_ok=True)
        self.table = folder / "shots.csv"
        self.library_folder = folder / "library"
        self.time = datetime.combine(DAY, datetime.strptime(begins, "%H:%M:%S").time())
        self.told: list[object] = []
        self.library: Library | None = None
        self.session: LiveSession | None = None

    def open(self, pupil: str = "Ines Calder", queue=None, **more) -> LiveSession:
        """Open the library and begin, or go on with, a lesson."""
        self.close()
        self.library = Library.open(self.library_folder)
        values = {
            "handedness": Handedness.RIGHT,
            "consent": Consent(pupil or "nobody", DAY, frozenset({Purpose.KEEP, Purpose.MEASURE, Purpose.SHARE})),
            "folders": ((str(self.clips), ""),),
            "table": self.table,
        }
        request = LiveRequest(pupil=pupil, **(values | more)) if pupil else LiveRequest()
        live, is_resumed = begin_lesson(self.library, request, self.time)
        self.session = LiveSession(
            self.library, live, self.told.append, queue, is_resumed, True, lambda: self.time, self.clock_s
        )
        self.session.look()
        return self.session

    def close(self) -> None:
        if self.library is not None:
            self.library.close()
            self.library = None

    def clock_s(self) -> float:
        return (self.time - datetime(2026, 1, 1)).total_seconds()

    def wait(self, seconds: float = 2.0, every_s: float = 0.5) -> None:
        """Let time pass while the session looks."""
        until = self.time + timedelta(seconds=seconds)
        while self.time < until:
            self.time += timedelta(seconds=every_s)
            self.session.look()

    def wait_until(self, at: datetime) -> None:
        """Let time pass without looking in between."""
        self.time = max(self.time, at)

    def drop(self, i: int, name: str = "") -> Path:
        """Put a clip of the sample into the folder, whole."""
        to = self.clips / (name or CLIPS[i].name)
        to.parent.mkdir(exist_ok=True)
        shutil.copyfile(CLIPS[i], to)
        return to

    def write_rows(self, n: int) -> None:
        """Let the table hold its first rows."""
        self.table.write_text("\n".join([HEADER, *ROWS[:n]]) + "\n", encoding="utf-8")

    def add_row(self, i: int) -> None:
        """Let the device add a row."""
        is_new = not self.table.exists()
        with self.table.open("a", encoding="utf-8") as file:
            file.write(f"{HEADER}\n" * is_new + f"{ROWS[i]}\n")

    # what came of it

    @property
    def lesson(self):
        return self.library.lesson(self.session._desk.live.lesson_id)

    @property
    def swings(self):
        return self.library.swings(self.lesson.id)

    def pairs(self) -> dict[str, int | None]:
        """Row of every clip, by the clip's file name."""
        return {
            clip.original_name: None if swing.shot is None else swing.shot.row_number
            for swing in self.swings
            for clip in swing.clips
        }

    def notes(self, *words: str) -> list[str]:
        """What was noted, as far as it holds these words."""
        return [e.text for e in self.told if type(e).__name__ == "Noted" and all(w in e.text for w in words)]

    def events(self, kind: type) -> list:
        return [e for e in self.told if isinstance(e, kind)]


def began(i: int) -> datetime:
    """When a clip of the sample begins, by this computer's clock."""
    return datetime.strptime(CLIPS[i].stem[:15], "%Y%m%d_%H%M%S") - CAMERA_AHEAD_OF_HERE


def play_sample(bay: Bay, n_clips: int = len(CLIPS), keys: dict[str, Callable[[], object]] | None = None) -> None:
    """Play the sample lesson as it would have happened; ``keys`` are pressed at times of the device's clock."""
    happenings: list[tuple[datetime, Callable[[], object]]] = []
    for i in range(n_clips):
        happenings.append((began(i) + timedelta(seconds=6 + i % 3), lambda i=i: bay.drop(i)))
    last = max(at for at, _ in happenings)
    for i, row in enumerate(ROWS):
        struck = datetime.combine(DAY, datetime.strptime(row[:8], "%H:%M:%S").time()) - DEVICE_AHEAD_OF_HERE
        if struck < last:
            happenings.append((struck + timedelta(seconds=2.5), lambda i=i: bay.add_row(i)))
    for at, press in (keys or {}).items():
        pressed = datetime.combine(DAY, datetime.strptime(at, "%H:%M:%S").time()) - DEVICE_AHEAD_OF_HERE
        happenings.append((pressed, press))
    for at, happens in sorted(happenings, key=lambda entry: entry[0]):
        bay.wait_until(at)
        happens()
        bay.wait(1.5)
