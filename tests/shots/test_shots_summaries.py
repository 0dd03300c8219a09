"""Summary rows wherever they stand and however they are labelled; long tables say the same as short ones."""

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
