"""Rows that repeat an earlier one."""

from datetime import datetime

from review.lesson import Shot
from review.shots.table import find_repeated

NAMES = ("club_path_deg", "face_angle_deg", "carry_yd", "ball_speed_mph", "launch_angle_deg")


def row(number: int, values: tuple[float, ...], club: str = "6-iron", names: tuple[str, ...] = NAMES) -> Shot:
    struck_at = datetime(2024, 5, 1, 10, 0, 0)
    return Shot(str(number), number, "t", dict(zip(names, values, strict=True)), struck_at=struck_at, club=club)


def test_a_row_repeats_another_only_with_the_same_club_and_the_same_measures() -> None:
    values = (1.0, 2.0, 3.0, 4.0, 5.0)
    other_names = (*NAMES[:-1], "attack_angle_deg")
    shots = [row(1, values), row(2, values, club="7-iron"), row(3, values, names=other_names), row(4, values)]
    assert find_repeated(shots) == [4]
    assert find_repeated([*shots, row(5, values, club="7-iron"), row(6, (1.0, 2.0, 3.0, 4.0, 6.0))]) == [4, 5]


def test_few_numbers_alike_are_no_repeat() -> None:
    assert find_repeated([row(n, (1.0, 2.0), names=NAMES[:2]) for n in (1, 2, 3)]) == []
