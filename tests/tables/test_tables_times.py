from datetime import datetime

from hypothesis import given
from hypothesis import strategies as st

from review.tables import parse_when


@given(st.datetimes(datetime(2000, 1, 1), datetime(2099, 12, 31)))
def test_iso_date_times_are_read_back(moment: datetime) -> None:
    when = parse_when(moment.isoformat())
    assert when is not None
    assert datetime.combine(when.on, when.at) == moment
