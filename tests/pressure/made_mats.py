"""Made-up mats and steps whose placement is known."""

from datetime import datetime

import numpy as np

from review.pressure import PressureRecord

BEGAN = datetime(2026, 3, 14, 10, 10)
STEPS_CM = ((0.0, 4.0), (18.0, 4.0), (0.0, 11.0))  # player's frame: still, lead foot, toes


def on_mat(player_cm, angle_deg, is_mirrored, origin_cm):
    """Places of the player's frame (n, 2) as a mat that lies so would tell them."""
    a = np.deg2rad(angle_deg)
    x, y = np.asarray(player_cm, dtype=float).T
    y = -y if is_mirrored else y
    return np.column_stack([np.cos(a) * x - np.sin(a) * y, np.sin(a) * x + np.cos(a) * y]) + origin_cm


def make_record(time_s, xy_cm, force_n=None):
    return PressureRecord("steps.csv", "0" * 64, BEGAN, time_s, xy_cm, force_n)


def make_steps(angle_deg=0.0, is_mirrored=False, origin_cm=(3.0, -2.0), steps_cm=STEPS_CM, sway_cm=0.1, force_n=600.0):
    """Three steps of 4 s with a second between them, 100 a second, with sway."""
    time_s = np.arange(0, 14, 0.01)
    at = [0.0, 4.0, 5.0, 9.0, 10.0, 14.0]
    held = np.repeat(np.asarray(steps_cm, dtype=float), 2, axis=0)
    player = np.column_stack([np.interp(time_s, at, held[:, axis]) for axis in (0, 1)])
    player += sway_cm * np.random.default_rng(1).standard_normal(player.shape)
    return make_record(time_s, on_mat(player, angle_deg, is_mirrored, origin_cm), np.full(len(time_s), force_n))
