"""How often rows are doubted: good rows with the device's error, and rows with one number misread.

``python -m tests.benchmarks.doubts``. Rows are made by the geometry of the strike and the flight model with a ball
between the short and the long one, so the carry's figures say how wide the band is, not how true it is.
"""

import sys
import time

import numpy as np

from review.lesson import Handedness, Shot
from review.shots.flight import (
    START_SHARES,
    Ball,
    ClubKind,
    Launch,
    compute_flight,
    compute_spin_from_club,
    compute_start_deg,
)
from review.shots.flight.impact import compute_speed_ratio_limit
from review.shots.plausibility import DEVICE_ERRORS, find_doubts

N_ROWS = 3000
# club's name, dynamic loft, attack angle, spin for each degree of spin loft
CLUBS = ((ClubKind.DRIVER, "driver", 14.0, 1.0, 200.0), (ClubKind.IRON, "7-iron", 23.0, -4.0, 230.0))
MISREADS = {
    "ball speed x 1.25": ("ball_speed_mph", lambda v: 1.25 * v),
    "ball speed x 0.75": ("ball_speed_mph", lambda v: 0.75 * v),
    "club speed x 0.8": ("club_speed_mph", lambda v: 0.8 * v),
    "launch direction turned over": ("launch_direction_deg", lambda v: -v),
    "launch direction + 8 degrees": ("launch_direction_deg", lambda v: v + 8.0),
    "launch angle + 10 degrees": ("launch_angle_deg", lambda v: v + 10.0),
    "face to path turned over": ("face_to_path_deg", lambda v: -v),
    "spin x 2": ("spin_rpm", lambda v: 2.0 * v),
    "carry x 0.7": ("carry_yd", lambda v: 0.7 * v),
    "carry x 1.3": ("carry_yd", lambda v: 1.3 * v),
}


def make_rows(rng: np.random.Generator, n: int) -> list[dict[str, float]]:
    """Rows of measured numbers: what the strike gives, then the device's error and a tenth's rounding."""
    rows = []
    for _ in range(n):
        kind, name, loft, attack, spin_gain = CLUBS[rng.integers(2)]
        loft, attack = loft + rng.normal(0, 2), attack + rng.normal(0, 1.5)
        path, face, speed = rng.normal(0, 4), rng.normal(0, 3), rng.normal(90, 10)
        spin = compute_spin_from_club(path, attack, face, loft)
        share = START_SHARES[kind]
        start = compute_start_deg(path, face, rng.uniform(share.low, share.high))
        ball_speed = speed * compute_speed_ratio_limit(spin.spin_loft_deg, kind) * rng.uniform(0.88, 0.99)
        rows.append(
            {
                **{"kind": float(kind is ClubKind.IRON), "club_speed_mph": speed, "ball_speed_mph": ball_speed},
                **{"club_path_deg": path, "face_angle_deg": face, "attack_angle_deg": attack, "dynamic_loft_deg": loft},
                **{
                    "launch_direction_deg": start,
                    "launch_angle_deg": attack + rng.uniform(0.75, 0.9) * (loft - attack),
                },
                **{"spin_rpm": spin.spin_loft_deg * spin_gain, "spin_axis_deg": spin.axis_tilt_deg},
            }
        )
    columns = ("ball_speed_mph", "launch_angle_deg", "launch_direction_deg", "spin_rpm", "spin_axis_deg")
    launch = Launch(*(np.array([row[name] for row in rows]) for name in columns))
    flight = compute_flight(launch, ball=Ball(0.95, 1.05), n_points=2)
    for row, carry, offline in zip(rows, flight.carry_yd, flight.offline_yd, strict=True):
        row.update(carry_yd=float(carry), offline_yd=float(offline))
        for name, error in DEVICE_ERRORS.items():
            if name in row:
                row[name] = round(row[name] + rng.normal(0, error), 1)
        row["face_to_path_deg"] = round(row["face_angle_deg"] - row["club_path_deg"], 1)
    return rows


def find_doubted(rows: list[dict[str, float]]) -> dict[str, int]:
    """Rows with a doubt at all, and with each set of measures."""
    shots = [
        Shot(str(i), i, "t", {k: v for k, v in row.items() if k != "kind"}, club=CLUBS[int(row["kind"])][1])
        for i, row in enumerate(rows)
    ]
    doubts = find_doubts(shots, Handedness.RIGHT)
    counts = {"any": len({doubt.shot_id for doubt in doubts})}
    for doubt in doubts:
        counts[", ".join(doubt.measures)] = counts.get(", ".join(doubt.measures), 0) + 1
    return counts


def main() -> int:
    rows = make_rows(np.random.default_rng(1), N_ROWS)
    begun = time.process_time()
    print(f"good rows, {N_ROWS}: {find_doubted(rows)}")
    print(f"{1000 * (time.process_time() - begun) / N_ROWS:.2f} ms of CPU a row")
    for said, (name, misread) in MISREADS.items():
        bad = [{**row, name: misread(row[name])} for row in rows[:500]]
        print(f"{said}: {find_doubted(bad)['any'] / 5:.0f} of 100 found")
    return 0


if __name__ == "__main__":
    sys.exit(main())
