"""Lessons with known truth as two clocks write them down: clips and rows, rounded, with gaps on both sides."""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime, timedelta

import numpy as np

from review.lesson import Clip, Shot
from review.sync import ClipMoment, RowMoment

DAY = datetime(2026, 3, 14)
DAY_START_S = 36_000.0


@dataclass(frozen=True)
class MadeSwing:
    """One movement: the instant of its strike (or where it would be) on the device's clock."""

    number: int
    at_s: float
    is_practice: bool
    has_clip: bool
    has_row: bool


@dataclass(frozen=True)
class MadeLesson:
    """What the cameras and the device wrote down, and which row every clip belongs to (None = no row)."""

    moments: tuple[ClipMoment, ...]
    rows: tuple[RowMoment, ...]
    truth: dict[str, str | None]
    to_camera_s: Callable[[float], float]

    @property
    def offset_s(self) -> float:
        """Camera minus device in the middle of the lesson."""
        middle = float(np.mean([row.clock_s for row in self.rows]))
        return self.to_camera_s(middle) - middle


def round_down(value: float, step: float) -> float:
    return float(np.floor(value / step) * step)


def make_clock(
    offset_s: float, drift_ppm: float = 0.0, jump_s: float = 0.0, jump_at_s: float = np.inf
) -> Callable[[float], float]:
    """Camera's clock from the device's: off by a constant, fast by some millionths, set anew in mid-lesson."""

    def to_camera_s(at_s: float) -> float:
        drifted = at_s + offset_s + drift_ppm * 1e-6 * (at_s - DAY_START_S)
        return drifted + (jump_s if at_s >= jump_at_s else 0.0)

    return to_camera_s


def plan_swings(
    random: np.random.Generator,
    n_shots: int = 20,
    n_practice: int = 4,
    n_missing_clips: int = 2,
    n_missing_rows: int = 2,
    gap_s: tuple[float, float] = (25.0, 120.0),
) -> list[MadeSwing]:
    """Shots and practice swings in order, with clips and rows missing at random, never both of one shot."""
    at = DAY_START_S + np.cumsum(random.uniform(*gap_s, n_shots + n_practice))
    practice = set(random.choice(len(at), n_practice, replace=False).tolist())
    shots = [i for i in range(len(at)) if i not in practice]
    missing = random.permutation(shots).tolist()
    no_clip = set(missing[:n_missing_clips])
    no_row = set(missing[n_missing_clips : n_missing_clips + n_missing_rows])
    return [
        MadeSwing(i, float(at[i]), i in practice, i not in no_clip, i not in practice and i not in no_row)
        for i in range(len(at))
    ]


def write_rows(swings: list[MadeSwing], resolution_s: float = 1.0) -> tuple[RowMoment, ...]:
    struck = [swing for swing in swings if swing.has_row]
    return tuple(
        RowMoment(f"row{swing.number}", round_down(swing.at_s, resolution_s), resolution_s, order)
        for order, swing in enumerate(struck)
    )


def make_lesson(
    seed: int,
    *,
    n_shots: int = 20,
    n_practice: int = 4,
    n_missing_clips: int = 2,
    n_missing_rows: int = 2,
    gap_s: tuple[float, float] = (25.0, 120.0),
    offset_s: float | None = None,
    drift_ppm: float = 0.0,
    jump_s: float = 0.0,
    jump_after: float = 0.5,
    clip_resolution_s: float = 1.0,
    row_resolution_s: float = 1.0,
    not_heard: float = 0.0,
    second_camera: float = 0.3,
) -> MadeLesson:
    """Draw one lesson; ``not_heard`` and ``second_camera`` are shares of the strikes and of the swings."""
    random = np.random.default_rng(seed)
    offset = float(random.uniform(-7200, 7200)) if offset_s is None else offset_s
    swings = plan_swings(random, n_shots, n_practice, n_missing_clips, n_missing_rows, gap_s)
    jump_at = swings[int(jump_after * len(swings))].at_s - 5.0 if jump_s else np.inf
    to_camera_s = make_clock(offset, drift_ppm, jump_s, jump_at)
    moments, truth = [], {}
    for swing in swings:
        if not swing.has_clip:
            continue
        for camera in ("one", "two")[: 1 + int(random.random() < second_camera)]:
            strike_in_clip = float(random.uniform(1.2, 2.5))
            heard = not swing.is_practice and bool(random.random() >= not_heard)
            start = round_down(to_camera_s(swing.at_s) - strike_in_clip, clip_resolution_s)
            clip_id = f"clip{swing.number:03d}{camera}"
            moments.append(
                ClipMoment(
                    clip_id=clip_id,
                    camera=camera,
                    strike_clock_s=start + strike_in_clip if heard else None,
                    start_clock_s=start,
                    end_clock_s=start + 3.0,
                    resolution_s=clip_resolution_s,
                    heard=heard,
                )
            )
            truth[clip_id] = f"row{swing.number}" if swing.has_row else None
    return MadeLesson(tuple(moments), write_rows(swings, row_resolution_s), truth, to_camera_s)


def at(seconds: float) -> datetime:
    """A time of the lesson's day."""
    return DAY + timedelta(seconds=seconds)


def as_kept(
    lesson: MadeLesson, table: str = "shots.csv", reading: str = "aaaa"
) -> tuple[tuple[Clip, ...], tuple[Shot, ...], dict[str, str | None]]:
    """Clips and shots of a made lesson as the library keeps them, and the truth by shot id."""
    clips = tuple(
        Clip(
            id=m.clip_id,
            sha256=m.clip_id,
            file="",
            original_name=f"{m.clip_id}.mp4",
            camera=m.camera,
            captured_at=at(m.start_clock_s),
            duration_s=3.0,
            strike_s=None if m.strike_clock_s is None else m.strike_clock_s - m.start_clock_s,
        )
        for m in lesson.moments
    )
    shots = tuple(
        Shot(f"{reading}-{i}", i, table, {"carry_yd": 100.0 + i, "attack_angle_deg": -i / 7}, struck_at=at(row.clock_s))
        for i, row in enumerate(lesson.rows, start=1)
    )
    row_of = {row.row_id: shot.id for row, shot in zip(lesson.rows, shots, strict=True)}
    return clips, shots, {clip_id: row and row_of[row] for clip_id, row in lesson.truth.items()}
