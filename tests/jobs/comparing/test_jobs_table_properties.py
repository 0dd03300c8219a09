"""Two batches of a table, from file to words: what other units, another order or the mirror change, and what not."""

import math
import re
from collections import Counter
from dataclasses import dataclass
from pathlib import Path

import pytest
from hypothesis import Phase, given, settings
from hypothesis import strategies as st

from review.jobs.comparing import TableComparison, compare_table
from review.lesson import AimMeasure, Handedness, Measure
from review.lesson.changes import say_change
from review.lesson.words import say_measure

HEADERS = {
    "club_speed_mph": "club speed",
    "ball_speed_mph": "ball speed",
    "club_path_deg": "club path",
    "face_angle_deg": "face angle",
    "attack_angle_deg": "attack angle",
    "launch_angle_deg": "launch angle",
    "launch_direction_deg": "launch direction",
    "spin_rpm": "spin",
    "spin_axis_deg": "spin axis",
    "carry_yd": "carry",
    "offline_yd": "offline",
    "strike_across_mm": "strike across",
    "strike_up_mm": "strike up",
}
UNIT = {"mph": "mph", "deg": "deg", "rpm": "rpm", "yd": "yd", "mm": "mm"}
PER_OWN = {  # NIST SP 811 (2008), appendix B.8: how many of the unit are one of ours
    "mph": {"mph": 1.0, "km/h": 1.609344, "m/s": 0.44704},
    "yd": {"yd": 1.0, "m": 0.9144, "ft": 3.0},
    "mm": {"mm": 1.0, "in": 1 / 25.4, "cm": 0.1},
    "deg": {"deg": 1.0, "rad": math.pi / 180},
    "rpm": {"rpm": 1.0},
}
SIDED = ("club_path_deg", "face_angle_deg", "launch_direction_deg", "spin_axis_deg", "offline_yd")
NO_SHRINK = (Phase.explicit, Phase.reuse, Phase.generate)  # a lesson takes a quarter of a second
ERRORS = {"club_path_deg": 0.4, "carry_yd": 1.0, "club_speed_mph": 0.3, "offline_yd": 1.0, "face_angle_deg": 0.3}
OTHER_HAND = {Handedness.RIGHT: Handedness.LEFT, Handedness.LEFT: Handedness.RIGHT}

# Steps of a tenth, as devices give them, so that ties are frequent; a little aside of every limit of a word.
CENTRES = (85, 115, 1, 0, -3, 16, 1, 5500, 2, 155, 3, 0, 2)
SCATTER = (40, 40, 60, 50, 30, 40, 50, 9000, 200, 150, 200, 150, 120)


def tenths(place: int) -> st.SearchStrategy[float]:
    return st.integers(-SCATTER[place], SCATTER[place]).map(lambda i: CENTRES[place] + i / 10 + 0.0037 * (place + 1))


ROWS = st.lists(st.tuples(*(tenths(place) for place in range(len(HEADERS)))), min_size=5, max_size=7)
Rows = list[tuple[float, ...]]


@dataclass(frozen=True)
class Written:
    """A table of two batches, in the units named by our own."""

    first: Rows
    last: Rows

    def compare(self, folder: Path, handedness: Handedness, units: dict[str, str] | None = None) -> TableComparison:
        own = [name.rpartition("_")[2] for name in HEADERS]
        named = [(units or UNIT).get(unit, unit) for unit in own]
        factors = [PER_OWN[unit][name] for unit, name in zip(own, named, strict=True)]
        lines = [",".join(["time", "club", *(f"{h} [{u}]" for h, u in zip(HEADERS.values(), named, strict=True))])]
        for i, row in enumerate((*self.first, *self.last)):
            lines.append(
                ",".join([f"10:{i:02d}:00", "7-iron", *(repr(v * f) for v, f in zip(row, factors, strict=True))])
            )
        path = folder / "t.csv"
        path.write_text("\n".join(lines) + "\n")
        n, both = len(self.first), len(self.first) + len(self.last)
        aim = [AimMeasure(name) for name in ERRORS]
        return compare_table(path, f"1-{n}", f"{n + 1}-{both}", handedness=handedness, aim=aim, repeatability=ERRORS)


def without_digits(text: str) -> str:
    return re.sub(r"[\d.]+", "#", text)


def swap_sides(text: str) -> str:
    return text.replace("left", "#").replace("right", "left").replace("#", "right")


def sizes(found: TableComparison, signs: dict[str, int] | None = None) -> list[float]:
    """Every number of every measure; those that turn with the measure's sign are multiplied by it."""
    numbers = []
    for c in found.comparisons:
        sign = (signs or {}).get(c.name, 1)
        ends = [c.low, c.high], [c.bca_low, c.bca_high]
        numbers += [sign * v for v in (c.mean_first, c.mean_last, c.median_first, c.difference, c.welch_t, c.hedges_g)]
        numbers += [v for pair in ends for v in (pair if sign > 0 else [-v for v in pair[::-1]])]
        numbers += [c.n_first, c.n_last, c.sd_first, c.sd_last, c.robust_sd_last, c.welch_df, c.welch_p, c.adjusted_p]
        numbers += [math.nan if c.permutation_p is None else c.permutation_p]
        numbers += [c.smallest_that_counts or math.nan]
        assert c.scatter is not None
        numbers += [c.scatter.ratio, c.scatter.low, c.scatter.high, c.scatter.brown_forsythe_p]
    return numbers


def words(found: TableComparison) -> list[tuple[str, ...]]:
    return [
        (c.name, c.verdict.value, c.why, c.note, c.more_shots_words, c.scatter.word if c.scatter else "")
        for c in found.comparisons
    ]


@settings(max_examples=12, deadline=None, phases=NO_SHRINK)
@given(
    first=ROWS,
    last=ROWS,
    handedness=st.sampled_from(Handedness),
    units=st.fixed_dictionaries({own: st.sampled_from(list(units)) for own, units in PER_OWN.items()}),
)
def test_the_same_table_in_other_units_says_the_same(
    tmp_path_factory: pytest.TempPathFactory, first: Rows, last: Rows, handedness: Handedness, units: dict[str, str]
) -> None:
    folder, written = tmp_path_factory.mktemp("t"), Written(first, last)
    own, other = written.compare(folder, handedness), written.compare(folder, handedness, units)
    assert words(other) == words(own)
    # the last digit of a double goes into a difference of means as 1e-13 or so, divided by its size
    assert sizes(other) == pytest.approx(sizes(own), rel=1e-6, abs=1e-9, nan_ok=True)
    assert [flights.shapes for flights in other.background.flights] == [f.shapes for f in own.background.flights]
    doubted = [(order, doubt.measures) for order, doubt in own.background.doubts]
    assert [(order, doubt.measures) for order, doubt in other.background.doubts] == doubted


@settings(max_examples=12, deadline=None, phases=NO_SHRINK)
@given(first=ROWS, last=ROWS, random=st.randoms(use_true_random=False))
def test_the_order_of_rows_in_a_batch_changes_nothing_but_what_is_said_of_order(
    tmp_path_factory: pytest.TempPathFactory, first: Rows, last: Rows, random: object
) -> None:
    folder = tmp_path_factory.mktemp("t")
    mixed = [sorted(rows, key=lambda _: random.random()) for rows in (first, last)]  # type: ignore[attr-defined]
    seen = Written(first, last).compare(folder, Handedness.RIGHT)
    other = Written(*mixed).compare(folder, Handedness.RIGHT)
    assert words(other) == words(seen)
    assert sizes(other) == pytest.approx(sizes(seen), rel=1e-6, abs=1e-9, nan_ok=True)

    def carried(found: TableComparison) -> list[list[str]]:
        remarks = [[without_digits(text) for text in c.remarks] for c in found.comparisons]
        return [[text for text in texts if text.startswith("without")] for texts in remarks]

    def doubted(found: TableComparison) -> Counter[str]:
        return Counter(doubt.reason for _, doubt in found.background.doubts)

    assert carried(other) == carried(seen)
    assert doubted(other) == doubted(seen)
    for a, b in zip(other.background.flights, seen.background.flights, strict=True):
        assert dict(a.shapes) == dict(b.shapes)


@settings(max_examples=12, deadline=None, phases=NO_SHRINK)
@given(first=ROWS, last=ROWS, handedness=st.sampled_from(Handedness))
def test_a_mirrored_lesson_of_the_other_hand_is_told_in_the_same_trade_words(
    tmp_path_factory: pytest.TempPathFactory, first: Rows, last: Rows, handedness: Handedness
) -> None:
    folder, other_hand = tmp_path_factory.mktemp("t"), OTHER_HAND[handedness]
    signs = {name: -1 if name in SIDED else 1 for name in HEADERS}
    mirrored = [
        [tuple(signs[n] * v for n, v in zip(HEADERS, row, strict=True)) for row in rows] for rows in (first, last)
    ]
    seen = Written(first, last).compare(folder, handedness)
    turned = Written(*mirrored).compare(folder, other_hand)
    assert words(turned) == words(seen)
    assert [c.remarks for c in turned.comparisons] == [c.remarks for c in seen.comparisons]
    assert sizes(turned, signs) == pytest.approx(sizes(seen), rel=1e-9, abs=1e-9, nan_ok=True)
    for a, b in zip(turned.comparisons, seen.comparisons, strict=True):
        told = say_change(b.name, b.mean_first, b.mean_last, handedness)
        assert say_change(a.name, a.mean_first, a.mean_last, other_hand) == swap_unless_trade(b.name, told)
        told = say_measure(Measure(b.name, b.mean_last), handedness)
        assert say_measure(Measure(a.name, a.mean_last), other_hand) == swap_unless_trade(b.name, told)
    for a_way, b_way in zip(turned.background.flights, seen.background.flights, strict=True):
        assert a_way.shapes == b_way.shapes  # push, draw, hook: the player's own words
        assert a_way.why == swap_sides(b_way.why)
    assert [(order, d.measures) for order, d in turned.background.doubts] == [
        (order, d.measures) for order, d in seen.background.doubts
    ]


def swap_unless_trade(name: str, told: str) -> str:
    """In-to-out, open and closed are the player's; right and left are the target's."""
    if name in ("club_path_deg", "face_angle_deg"):
        assert "left" not in told
        assert "right" not in told
        return told
    return swap_sides(told) if name in SIDED else told
