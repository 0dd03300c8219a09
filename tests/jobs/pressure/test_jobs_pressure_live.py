"""Where the pressure is now: from a file that grows, is begun anew or not there yet, and from a stream."""

import io
import math
import time

import pytest

from review.errors import BadInputError
from review.jobs.pressure.live_trace import GrowingFile, IncomingStream, LiveTrace
from review.pressure import MatPlacement

HEADER = "time,x [mm],y [mm],vertical force [N]\n"


def test_a_growing_file_is_followed_line_by_line(tmp_path):
    path = tmp_path / "now.csv"
    trace = LiveTrace(GrowingFile(path), MatPlacement(90.0, origin_cm=(1.0, 2.0)))
    assert trace.read_new() == []
    path.write_text(HEADER + "0.0,10,120,600\n0.1,10,1")
    assert trace.read_new() == [(pytest.approx(10.0), pytest.approx(0.0))]  # the mat's y is the way to the target
    with path.open("a") as file:
        file.write("20,600\nbroken\n0.3,0,0,0\n")
    (x, y), off = trace.read_new()
    assert (x, y) == (pytest.approx(10.0), pytest.approx(0.0))
    assert math.isnan(off[0])  # nobody stands on it
    assert trace.n_bad == 1
    path.write_text("time,x,y\n0.0,1,2\n")  # begun anew, in centimetres, without force
    assert trace.read_new() == [(pytest.approx(0.0), pytest.approx(0.0))]


def test_a_long_file_is_read_in_pieces(tmp_path):
    path = tmp_path / "hour.csv"
    path.write_text("time,x,y\n" + "".join(f"{i / 2000},{i % 40},1\n" for i in range(20_000)))
    trace, counts = LiveTrace(GrowingFile(path)), []
    while new := trace.read_new():
        counts.append(len(new))
    assert sum(counts) == 20_000
    assert max(counts) < 10_000


def test_a_stream_is_read_beside():
    trace, found = LiveTrace(IncomingStream(io.BytesIO(b"t;x;y\n0;1.5;2\n1;2.5;3\n"))), []
    until = time.monotonic() + 5
    while len(found) < 2 and time.monotonic() < until:
        found += trace.read_new()
    assert found == [(1.5, 2.0), (2.5, 3.0)]


def test_a_table_without_places_is_refused(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,weight\n0,1\n")
    with pytest.raises(BadInputError, match="expected a first line such as"):
        LiveTrace(GrowingFile(path)).read_new()
