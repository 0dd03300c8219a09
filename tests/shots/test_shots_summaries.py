"""Summary rows wherever they stand and however they are labelled; long tables say the same as short ones."""

import numpy as np
import pytest

from review.shots import read_shot_table

HEAD = "shot,club,carry [yd],club path [deg],note"


@pytest.mark.parametrize(
    "summary",
    [
        "Average,,150.5,2.0,",
        ",7-iron average,150.5,2.0,",
        ",Average 7-iron,150.5,2.0,",
        ",,150.5,2.0,Average",
        ",,Mean,2.0,",
        "Std. deviation,,1.5,0.5,",
        ",,150.5,2.0,consistency",
    ],
)
@pytest.mark.parametrize("place", [0, 1, 2])
def test_a_summary_row_is_left_out_wherever_it_stands(tmp_path, summary, place):
    rows = ["1,7-iron,150.0,2.5,", "2,7-iron,151.0,1.5,well hit on average"]
    rows.insert(place, summary)
    path = tmp_path / "t.csv"
    path.write_text("\n".join([HEAD, *rows]) + "\n")
    table = read_shot_table(path)
    assert [shot.values["carry_yd"] for shot in table.shots] == [150.0, 151.0]
    assert any(f"left out: line {place + 2}" in note for note in table.notes)


@pytest.mark.parametrize("labels", [("Xu", "Yo", "Zu"), ("", "", ""), ("Ø", "±", "Ø")])
def test_sums_are_known_in_any_language_and_without_a_word(write_table, labels):
    """Means and deviations (numpy) beneath two groups and beneath the whole, taken before rounding as devices do."""
    random = np.random.default_rng(4)
    first, second = random.normal((3, 110, 150), (2, 3, 6), (2, 5, 3))
    mean, deviation, whole = labels
    lines = ["time;path [deg];ball speed [mph];carry [yd]"]
    lines += [f"10:0{i}:00;" + ";".join(map(str, row)) for i, row in enumerate(first.round(1))]
    lines += [f"{mean};" + ";".join(f"{v:.1f}" for v in first.mean(axis=0))]
    lines += [f"{deviation};" + ";".join(f"{v:.2f}" for v in first.std(axis=0, ddof=1))]
    lines += [f"10:1{i}:00;" + ";".join(map(str, row)) for i, row in enumerate(second.round(1))]
    lines += [f"{mean};" + ";".join(f"{v:.1f}" for v in second.mean(axis=0))]
    lines += [f"{whole};" + ";".join(f"{v:.1f}" for v in np.vstack((first, second)).mean(axis=0))]
    table = read_shot_table(write_table("\n".join(lines)))
    assert len(table.shots) == 10
    (told,) = [note for note in table.notes if "sums" in note or "summary" in note]
    assert [n for n in (7, 8, 14, 15) if f" {n}" in told] == [7, 8, 14, 15]


def test_a_word_among_counted_shots_is_a_sum_whatever_its_numbers(write_table):
    lines = ["nr;path [deg];carry [yd]", *(f"{i};{i}.5;{100 + i}.0" for i in range(1, 7)), "Räckvidd;5.0;5.0"]
    table = read_shot_table(write_table("\n".join(lines)))
    assert len(table.shots) == 6
    assert any("line 8 ('Räckvidd')" in note for note in table.notes)


def test_words_in_a_column_that_does_not_count_are_no_sums(write_table):
    lines = ["lie;path [deg];carry [yd]", *(f"{2 * (i % 3)};{i}.5;{100 + i}.0" for i in range(1, 7)), "uphill;5.0;95.0"]
    assert len(read_shot_table(write_table("\n".join(lines))).shots) == 7


def test_a_last_shot_like_the_mean_in_two_numbers_stays(write_table):
    rows = ["1.0;100.0;140.0", "2.0;104.0;146.0", "3.0;102.0;150.0", "2.0;102.0;151.0"]
    assert len(read_shot_table(write_table("\n".join(["path;ball speed;carry", *rows]))).shots) == 4
    rows[-1] = "2.0;102.0;145.3"
    assert len(read_shot_table(write_table("\n".join(["path;ball speed;carry", *rows]))).shots) == 3


def test_a_middle_shot_among_shots_mostly_alike_stays(write_table):
    """One far off in each column leaves the mean beside the others, and the middle shot is the median of all."""
    rows = [[5.0, 100.0, 150.0] for _ in range(20)]
    rows[3][0], rows[4][1], rows[5][2] = 7.0, 102.0, 152.0
    odd = [[4.2, 112, 2.0], [5.2, 112, 2.1], [6.2, 112, 2.2], [5.2, 162, 2.1], [4.2, 112, 29.0], [5.2, 112, 2.1]]
    for table in (rows, odd):
        lines = ["path [deg];ball speed [mph];launch direction [deg]", *(";".join(map(str, row)) for row in table)]
        assert len(read_shot_table(write_table("\n".join(lines))).shots) == len(table)
