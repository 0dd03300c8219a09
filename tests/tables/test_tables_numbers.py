import math
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from review.tables import compute_factor, find_decimal, parse_number

# Exact: NIST SP 811 (2008), appendix B.8 and B.9 (mile 1609.344 m, yard 0.9144 m, foot 0.3048 m, inch 25.4 mm,
# kilogram-force 9.80665 N, pound-force 4.448 221 615 260 5 N).
EXACT = {
    ("mph", "m/s"): Fraction(44704, 100000),
    ("km/h", "mph"): Fraction(1000000, 1609344),
    ("m/s", "mph"): Fraction(100000, 44704),
    ("ft/s", "mph"): Fraction(3048 * 3600, 16093440),
    ("m", "yd"): Fraction(10000, 9144),
    ("ft", "yd"): Fraction(1, 3),
    ("inch", "mm"): Fraction(254, 10),
    ("cm", "mm"): Fraction(10),
    ("inch", "cm"): Fraction(254, 100),
    ("kg", "N"): Fraction(980665, 100000),
    ("lbf", "N"): Fraction(44482216152605, 10**13),
}


@pytest.mark.parametrize(("pair", "factor"), EXACT.items(), ids=lambda p: "-".join(p) if isinstance(p, tuple) else "")
def test_factors_are_the_published_ones(pair: tuple[str, str], factor: Fraction) -> None:
    # 4e-16: two roundings of a double.
    assert compute_factor(*pair) == pytest.approx(float(factor), rel=4e-16)
    assert compute_factor(pair[1], pair[1]) == 1.0


def test_units_of_different_things_have_no_factor() -> None:
    assert compute_factor("mph", "deg") is None
    assert compute_factor("furlong", "yd") is None
    # pi radians are 180 degrees
    assert compute_factor("rad", "deg") == pytest.approx(180 / math.pi, rel=4e-16)


@pytest.mark.parametrize(
    ("cells", "delimiter", "decimal"),
    [
        (["92,4", "5.520"], ";", ","),
        (["92.4", "5,520"], ",", "."),
        (["5.520"], ",", "."),
        (["5.520"], ";", None),
        (["5,520"], "\t", None),
        (["1.234.567"], ";", ","),
        (["1,234,567"], ";", "."),
        (["1.234,5"], ";", ","),
        (["1,234.5"], ";", "."),
        (["0,125"], ";", ","),
        (["0.125"], "\t", "."),
        (["12", "-"], ";", "."),
        (["3,2 R"], ";", ","),
        (["3,2", "3.2"], ";", "."),
    ],
)
def test_the_decimal_mark_is_found_or_asked_for(cells: list[str], delimiter: str, decimal: str | None) -> None:
    assert find_decimal(cells, delimiter) == decimal


@given(st.floats(-1e6, 1e6), st.sampled_from([".", ","]))
def test_any_number_is_read_back(value: float, decimal: str) -> None:
    assert parse_number(repr(value).replace(".", decimal), decimal) == value


def test_thousands_only_in_groups_of_three() -> None:
    assert parse_number("12,34", ".") is None
    assert parse_number("0,125", ".") is None
    assert parse_number("12,345", ".") == 12345.0
