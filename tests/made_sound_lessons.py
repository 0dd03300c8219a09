"""Whole lessons from made-up sound: every clip's strike is found by the real detector, every row is written down."""

from dataclasses import dataclass

import numpy as np

from review.lesson import Clip, Shot
from review.swing.strike import find_strikes
from tests.bay import make_bay_sound
from tests.made_lessons import MadeSwing, at, make_clock, plan_swings, round_down

CLIP_S = 4.0
TRIGGER_S, TRIGGER_SD_S = 2.5, 0.08
HEARD = 0.5


@dataclass(frozen=True)
class SoundLesson:
    """Clips as the library keeps them, rows as the device wrote them, and the true row of every clip."""

    clips: tuple[Clip, ...]
    shots: tuple[Shot, ...]
    truth: dict[str, str | None]
    swings: tuple[MadeSwing, ...]


def make_sound_lesson(
    seed: int,
    family: int,
    snr_db: float,
    neighbour_db: float = -6.0,
    *,
    n_shots: int = 60,
    n_practice: int = 20,
    n_missing: int = 3,
    drift_ppm: float = 40.0,
    offset_s: float = 420.0,
    gap_s: tuple[float, float] = (12.0, 75.0),
    trigger_sd_s: float = TRIGGER_SD_S,
    rate_hz: int = 48000,
) -> SoundLesson:
    """Make a lesson; each clip has one neighbour's strike at a random time.

    Parameters
    ----------
    seed, family, snr_db, neighbour_db : as for ``make_bay_sound``, ``family`` 2 only for tests.
    n_missing : so many shots have no clip, as many others no row.
    trigger_sd_s : how much the place of the strike in the clip scatters; infinite = anywhere.
    """
    random = np.random.default_rng([seed, family])
    swings = plan_swings(random, n_shots, n_practice, n_missing, n_missing, gap_s)
    to_camera_s = make_clock(offset_s + float(random.uniform(0, 1)), drift_ppm)
    clips, shots, truth = [], [], {}
    for swing in swings:
        if swing.has_row:
            struck_at = at(round_down(swing.at_s, 1.0))
            number = len(shots) + 1
            shots.append(
                Shot(f"row{swing.number}", number, "shots.csv", {"carry_yd": float(number)}, struck_at=struck_at)
            )
        if not swing.has_clip:
            continue
        anywhere_s = float(random.uniform(0.3, CLIP_S - 0.3))
        strike_s = anywhere_s if np.isinf(trigger_sd_s) else float(random.normal(TRIGGER_S, trigger_sd_s))
        true_s = None if swing.is_practice else strike_s
        sound = make_bay_sound(random, CLIP_S, true_s, snr_db, family, rate_hz, 1, neighbour_db)
        heard = find_strikes(sound, rate_hz, 0.0)
        likeliest = max(heard, key=lambda strike: strike.certainty, default=None)
        clip_id = f"clip{swing.number:03d}"
        clips.append(
            Clip(
                id=clip_id,
                sha256=clip_id,
                file="",
                original_name=f"{clip_id}.mp4",
                camera="one",
                captured_at=at(round_down(to_camera_s(swing.at_s) - strike_s, 1.0)),
                duration_s=CLIP_S,
                strike_s=None if likeliest is None or likeliest.certainty < HEARD else likeliest.time_s,
                strikes=tuple((strike.time_s, strike.certainty) for strike in heard),
            )
        )
        truth[clip_id] = f"row{swing.number}" if swing.has_row else None
    return SoundLesson(tuple(clips), tuple(shots), truth, tuple(swings))
