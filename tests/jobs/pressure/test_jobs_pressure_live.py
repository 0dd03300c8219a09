"""Where the pressure is now: from a file that grows, is begun anew or not there yet, and from a stream."""

import math
import os
import subprocess
import sys
import time
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.pressure.live_source import GrowingFile, IncomingStream
from review.jobs.pressure.live_trace import LiveTrace, follow_table
from review.jobs.tables.kept_mappings import PRESSURE_TABLE, keep_mapping
from review.pressure import ColumnMapping, MatPlacement

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


def test_a_table_that_is_long_already_is_told_from_near_its_end(tmp_path):
    path = tmp_path / "hour.csv"
    path.write_text("time,x,y\n" + "".join(f"{i / 2000},{i},1\n" for i in range(20_000)))
    trace, found = LiveTrace(GrowingFile(path)), []
    while new := trace.read_new():
        found.append(new)
    assert sum(map(len, found)) < 10_000
    assert [x for x, _ in found[-1]] == list(range(20_000 - len(found[-1]), 20_000))  # whole lines up to the last
    assert trace.n_bad == 0


def test_a_table_begun_anew_and_longer_at_once_is_read_with_its_own_columns(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y\n0,1,2\n")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == [(1.0, 2.0)]
    path.write_text("time,y,x\n0,1,2\n0.1,3,4\n")
    assert trace.read_new() == [(2.0, 1.0), (4.0, 3.0)]
    path.write_text("time,y,x\n0,1,2\n0.1,3,4\n0.2,5,6\n")  # saved anew as a whole, with what came since
    assert trace.read_new() == [(6.0, 5.0)]


def send(content):
    """The reading end of a pipe that holds the content and stays open."""
    reading, writing = os.pipe()
    os.write(writing, content)
    return reading


def read_until(trace, n):
    until, found = time.monotonic() + 5, []
    while len(found) < n and time.monotonic() < until:
        found += trace.read_new()
    return found


def test_a_stream_is_read_beside():
    trace = LiveTrace(IncomingStream(send(b"t;x;y\n0;1.5;2\n1;2.5;3\n")))
    assert read_until(trace, 2) == [(1.5, 2.0), (2.5, 3.0)]


def test_the_program_ends_while_the_stream_stays_open():
    code = (
        "import sys, time; from review.jobs.pressure.live_source import IncomingStream; "
        "IncomingStream(sys.stdin.fileno()); time.sleep(0.2)"
    )
    with subprocess.Popen([sys.executable, "-c", code], stdin=subprocess.PIPE, stderr=subprocess.PIPE) as program:
        program.stdin.write(b"time,x,y\n")
        program.stdin.flush()
        assert program.wait(timeout=30) == 0
        assert program.stderr.read() == b""


def test_a_table_without_places_is_refused_until_it_is_begun_anew(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,weight,feet\n0,1,2\n")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == []
    assert "expected columns for time, x and y" in trace.trouble
    path.write_text("time,x,y\n0,1,2\n")
    assert trace.read_new() == [(1.0, 2.0)]
    assert trace.trouble == ""


def test_lines_of_digits_above_the_header_are_no_data(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("2026-03-14 10:00\n7\n")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == []
    assert trace.trouble == ""
    with path.open("a") as file:
        file.write("time,x,y\n0,1,2\n")
    assert trace.read_new() == [(1.0, 2.0)]


def test_a_table_locked_by_its_writer_is_tried_again(tmp_path, monkeypatch):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y\n0,1,2\n")
    trace = LiveTrace(GrowingFile(path))
    with monkeypatch.context() as locked:
        locked.setattr(Path, "open", lambda *_: (_ for _ in ()).throw(PermissionError(13, "locked")))
        assert trace.read_new() == []
        assert "tried again" in trace.trouble
    assert trace.read_new() == [(1.0, 2.0)]
    assert trace.trouble == ""


@pytest.mark.parametrize("first", ["0,1,2,3,4", '0,"1,2', "x", "7,8,9,10"])
def test_a_bad_first_line_hides_no_header(tmp_path, first):
    path = tmp_path / "now.csv"
    path.write_text(f"time,x,y\n{first}\n0.1,3,4\n")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == [(3.0, 4.0)]
    assert (trace.n_bad, trace.trouble) == (1, "")


def test_of_many_bad_lines_only_the_newest_are_looked_at(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,x,y\n0,1,2\n" + "0,a,b\n" * 9000 + "0,3,4\n")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == [(3.0, 4.0)]
    assert 0 < trace.n_bad < 1000


@pytest.mark.parametrize(
    ("rows", "places", "is_doubted"),
    [
        (["0,1,2,-600,-10"], [(1.0, 2.0)], True),  # counted the other way
        (["0,1,2,0,0", "0.1,9,9,,"], [None, (9.0, 9.0)], True),  # not filled in
        (["0,0,0,0,0", "0.1,0,0,0,0", "0.2,1,2,400,300"], [None, None, (1.0, 2.0)], False),  # then somebody steps on it
        (["0,1,2,700,", "0.1,1,2,,", "0.2,1,2,,650"], [(1.0, 2.0), None, (1.0, 2.0)], False),  # a foot in the air
        (["0,1,2,-5,-5", "0.1,1,2,400,300", "0.2,1,2,-5,-5"], [(1.0, 2.0), (1.0, 2.0), None], False),
    ],
)
def test_nobody_is_where_the_force_is_not_above_0_once_it_was(tmp_path, rows, places, is_doubted):
    path = tmp_path / "now.csv"
    trace, found = LiveTrace(GrowingFile(path)), []
    path.write_text("time,x,y,left foot [N],right foot [N]\n")
    for row in rows:
        with path.open("a") as file:
            file.write(row + "\n")
        found += [None if math.isnan(x) else (x, y) for x, y in trace.read_new()]
    assert found == places
    assert bool(trace.note) == is_doubted
    assert trace.n_bad == 0


@pytest.mark.parametrize(
    ("text", "places"),
    [
        ("Zeit;x [mm];y [mm]\n0,00;12,5;20\n0,01;13,5;21\n", [(1.25, 2.0), (1.35, 2.1)]),
        ("Bay 2\nrate: 100\ntime\tx\ty\n[s]\t[mm]\t[mm]\n0\t10\t20\n", [(1.0, 2.0)]),
        ("10:02:03.10,4,5,300,310\n", [(4.0, 5.0)]),
        ("Zeit;x;y\n0;1;2\nZeit;x;y\n0,5;12,5;20\n", [(1.0, 2.0), (12.5, 20.0)]),
    ],
)
def test_a_table_is_read_live_as_it_is_read_later(tmp_path, text, places):
    """Comma for the decimals, words above the header, a row of units, feet apart, a coach's own names,
    a header that stands again, whole numbers first."""
    mapping = ColumnMapping(columns={"Zeit": "time"})
    if text.startswith("10"):
        text = "clock,x,y,left foot [N],right foot [N]\n" + text
    path = tmp_path / "now.csv"
    path.write_text(text)
    trace = LiveTrace(GrowingFile(path), mapping=mapping)
    assert trace.read_new() == [pytest.approx(place) for place in places]
    assert trace.n_bad == 0


def test_a_grid_is_read_live(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("time,r1 c1,r1 c2,r2 c1,r2 c2\n0,1,3,0,0\n0.1,0,0,0,0\n")
    first, off = LiveTrace(GrowingFile(path), cell_cm=(2.0, 3.0)).read_new()
    assert first == pytest.approx((1.5, 0.0))
    assert math.isnan(off[0])
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == []
    assert "how large one is" in trace.trouble


def test_a_header_that_comes_later_is_waited_for(tmp_path):
    path = tmp_path / "now.csv"
    path.write_text("made by a mat\ntime,")
    trace = LiveTrace(GrowingFile(path))
    assert trace.read_new() == []
    with path.open("a") as file:
        file.write("x,y\n")
    assert trace.read_new() == []
    with path.open("a") as file:
        file.write("0,1,2\n0.1,2,3\n")
    assert trace.read_new() == [(1.0, 2.0), (2.0, 3.0)]


def test_the_coachs_kept_mapping_is_used_live(tmp_path):
    mapping = ColumnMapping(columns={"Zeit": "time", "quer": "x", "vor": "y"}, units={"quer": "mm", "vor": "mm"})
    keep_mapping(tmp_path, "bay mat", mapping, PRESSURE_TABLE)
    path = tmp_path / "now.csv"
    path.write_text("Zeit;quer;vor\n0;15;20\n")
    assert follow_table(tmp_path, path).read_new() == [(1.5, 2.0)]
    with pytest.raises(BadInputError, match="found no such file and none kept under that name"):
        follow_table(tmp_path, send(b""), mapping=Path("other"))
    stream = follow_table(tmp_path, send(path.read_bytes()), mapping=Path("bay mat"))
    assert read_until(stream, 1) == [(1.5, 2.0)]
