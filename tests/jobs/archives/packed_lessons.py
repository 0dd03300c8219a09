"""A made-up lesson with something in every table that travels, for the tests of archives."""

import struct
from datetime import date, datetime
from functools import cache
from pathlib import Path
from tempfile import TemporaryDirectory

import numpy as np

from review.jobs.measuring.kept_landmarks import save_landmarks
from review.lesson import (
    AimMeasure,
    Batch,
    Clip,
    Consent,
    Drawing,
    DrawingKind,
    Handedness,
    KeyFrame,
    Lesson,
    Measure,
    Pupil,
    Purpose,
    Said,
    Shot,
    Swing,
    Trace,
    View,
    Voice,
    VoiceOf,
)
from review.library import Library
from review.media import VOICE_SUFFIX, Audio, VideoWriter, write_voice
from review.pose import Effort, LandmarkTrack

SECRET = "sore knee since May"
ALL = frozenset(Purpose)


def make_pupil(id: str = "p1", name: str = "Änne <b>O'Neil</b>", consented: frozenset[Purpose] = ALL) -> Pupil:
    consent = Consent(name, date(2026, 3, 1), consented)
    return Pupil(id, name, Handedness.LEFT, 1.62, consent, private_note=SECRET)


def fill(library: Library, workplace: Path, pupil: Pupil | None = None, n_swings: int = 6) -> None:
    """Add a pupil with a lesson of two batches."""
    library.add_pupil(pupil or make_pupil())
    batches = (Batch("b1", 1, cue="", club="6-iron"), Batch("b2", 2, cue="turn the belt", feel="slow", club="6-iron"))
    aim = (AimMeasure("hip_turn_deg", "impact"), AimMeasure("club_path_deg"))
    library.add_lesson(
        Lesson("l1", (pupil or make_pupil()).id, date(2026, 3, 14), aim="hips", aim_measures=aim, batches=batches)
    )
    workplace.mkdir(exist_ok=True)
    swings = []
    for i in range(1, n_swings + 1):
        film = workplace / f"{i}.mp4"
        film.write_bytes(make_film() + make_box(f"film {i}".encode() * 40_000))
        sha256, file = library.store_clip_file(film)
        clip = Clip(f"c{i}", sha256, file, film.name, view=View.FACE_ON, n_frames=9, strike_s=0.5)
        library.add_clip("l1", clip)
        shot = Shot(f"r{i}", i, "t.csv", {"club_path_deg": 6.0 - i + 0.1 / 3}, {}, datetime(2026, 3, 14, 10, i))
        library.add_shots("l1", [shot])
        time_s = np.linspace(0.0, 1.0, 11)
        trace = Trace(f"t{i}", datetime(2026, 3, 14, 10, i), time_s, np.stack([time_s, -time_s], 1), 700 + time_s)
        swings.append(
            Swing(f"s{i}", i, clips=(clip,), shot=shot, trace=trace, batch_id=f"b{1 + 2 * i // (n_swings + 2)}")
        )
        library.set_key_frames(clip.id, [KeyFrame("impact", 0.5, 4, 0.9, "pose"), KeyFrame("top", 0.2, 2, 1, "coach")])
        library.add_drawing(clip.id, Drawing("d", DrawingKind.LINE, ((0.1, 0.2), (0.3, 0.4)), 0.0, 1.0, "trail heel"))
        save_landmarks(library, clip, Effort.THOROUGH, Handedness.LEFT, make_track(i))
    library.replace_swings("l1", swings)
    for i in range(1, n_swings + 1):
        turn = Measure("hip_turn_deg", 10.0 * i / 3, "impact", 0.0, 90.0, 3.0, 4.0, "p1 l1 face-on full")
        library.set_measures(f"s{i}", [turn, Measure("heel_off_ms", float("nan"), why_missing="not seen")], "body 4")
    library.set_camera_setup("l1", "face-on", "text of the set-up")
    library.set_player_setup("l1", "face-on", "full", "name.toml", "text of the player")
    library.set_pressure_mat("l1", "text of the mat")
    for of in VoiceOf:
        hum = Audio((np.sin(np.arange(3000) / 10) * (1 + len(of.value)) / 99).astype(np.float32), 16000, 0.0)

        def write(to: Path, hum: Audio = hum) -> str:
            write_voice(to, hum)
            return VOICE_SUFFIX

        file = library.store_voice(write)
        library.add_voice("l1", Voice(f"v-{of.value}", file, 2.5, datetime(2026, 3, 14, 10, 30), of.is_pupils))
        library.say("l1", [Said("b2", of.said_as, f"v-{of.value}")])


@cache
def make_film() -> bytes:
    """Nine small pictures."""
    with TemporaryDirectory() as folder:
        path = Path(folder) / "film.mp4"
        with VideoWriter(path, 64, 36, 60) as writer:
            for n in range(9):
                writer.write(np.full((36, 64, 3), 20 * n, np.uint8))
        return path.read_bytes()


def make_box(content: bytes) -> bytes:
    """A box that players pass over (ISO/IEC 14496-12, 8.1.2): it makes a film long, and another one."""
    return struct.pack(">I4s", 8 + len(content), b"free") + content


def make_track(seed: int) -> LandmarkTrack:
    rng = np.random.default_rng(seed)
    return LandmarkTrack(
        np.arange(9) / 60.0, rng.random((9, 33, 3)) * 700, rng.random((9, 33, 3)), rng.random((9, 33)), 720, 1280,
        "full", "tracked",
    )  # fmt: skip
