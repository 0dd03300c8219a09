"""How far one reading errs, against published values."""

import pytest

from review.cli.main import main
from review.compare.repeatability import compute_typical_error

# R's data set "sleep" as test and retest
FIRST = (0.7, -1.6, -0.2, -1.2, -0.1, 3.4, 3.7, 0.8, 0.0, 2.0)
SECOND = (1.9, 0.8, 1.1, 0.1, -0.1, 4.4, 5.5, 1.6, 4.6, 3.4)


def test_typical_error_of_a_published_data_set():
    # SD of the differences 1.2299955; Hopkins' typical error 0.8697381, 95 % interval 0.598 to 1.588
    error = compute_typical_error(FIRST, SECOND)
    assert error.sd == pytest.approx(0.8697381, abs=5e-8)
    assert (error.low, error.high) == pytest.approx((0.598, 1.588), abs=5e-4)
    assert error.shift == pytest.approx(1.58)  # mean of the differences, R's t.test(paired)


def test_a_shift_of_all_shots_and_the_order_of_tables_change_nothing():
    plain = compute_typical_error(FIRST, SECOND)
    assert compute_typical_error(FIRST, [v + 7 for v in SECOND]).sd == pytest.approx(plain.sd)
    assert compute_typical_error(SECOND, FIRST).sd == pytest.approx(plain.sd)


@pytest.mark.parametrize(
    ("a", "b"), [((1.0,) * 4, (1.0,) * 4), ((1.0,) * 5, (1.0,) * 6), ((1.0,) * 5, (float("nan"),) * 5)]
)
def test_what_tells_nothing_is_refused(a, b):
    with pytest.raises(ValueError, match=r"expected|finite"):
        compute_typical_error(a, b)


def test_two_tables_of_the_same_shots(tmp_path, capsys):
    for name, values in (("a.csv", FIRST), ("b.csv", SECOND), ("c.csv", SECOND[:9])):
        (tmp_path / name).write_text("carry [yd]\n" + "\n".join(map(str, values)) + "\n")
    assert main(["repeatability", str(tmp_path / "a.csv"), str(tmp_path / "b.csv")]) == 0
    assert "--repeatability carry_yd=0.87" in capsys.readouterr().out
    assert main(["repeatability", str(tmp_path / "a.csv"), str(tmp_path / "c.csv")]) == 2
    assert "holds 10 and c.csv 9" in capsys.readouterr().err
