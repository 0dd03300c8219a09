"""The files: same bytes, nothing from outside, old or new and never half, and no slower start."""

import io
import subprocess
import sys

import numpy as np
import pytest
from PIL import Image

from review.charts import (
    PHONE,
    SCREEN,
    Canvas,
    FlightBatch,
    FlightChart,
    RunChart,
    RunPoint,
    StrikeBatch,
    StrikePicture,
    draw_flight_chart,
    draw_run_chart,
    draw_strike_picture,
    write_drawing,
)
from review.charts.looks import hex_of, look_of, rgb
from review.compare import Window
from review.errors import BadInputError, MachineError
from review.lesson import Handedness
from tests.charts.svg_reading import SVG, ReadBack

CHART = RunChart("club_path_deg", Handedness.RIGHT, tuple(RunPoint(n, n / 3 - 1, n // 4 + 1) for n in range(1, 12)))


def test_same_bytes_twice_also_in_another_process():
    assert draw_run_chart(CHART).to_svg() == draw_run_chart(CHART).to_svg()
    assert draw_run_chart(CHART).to_png() == draw_run_chart(CHART).to_png()
    code = (
        "import sys\nfrom review.charts import *\nfrom review.lesson import Handedness\n"
        "points = tuple(RunPoint(n, n / 3 - 1, n // 4 + 1) for n in range(1, 12))\n"
        "chart = RunChart('club_path_deg', Handedness.RIGHT, points)\n"
        "sys.stdout.buffer.write(draw_run_chart(chart).to_svg())"
    )
    other = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True)
    assert other.stdout == draw_run_chart(CHART).to_svg()
    assert other.stderr == b""


def test_the_users_own_matplotlib_settings_change_nothing():
    import matplotlib

    plain = draw_run_chart(CHART).to_svg()
    with matplotlib.rc_context({"svg.fonttype": "path", "lines.linewidth": 9.0, "savefig.bbox": "tight"}):
        assert draw_run_chart(CHART).to_svg() == plain
        assert matplotlib.rcParams["svg.fonttype"] == "path"


def test_svg_names_no_date_no_program_and_loads_nothing():
    svg = draw_run_chart(CHART).to_svg().decode()
    for word in ("dc:date", "matplotlib.org", "Matplotlib v", "<image", "@font-face", "url(http"):
        assert word not in svg


def test_png_has_the_pixels_asked_for():
    phone = Image.open(io.BytesIO(draw_run_chart(CHART).to_png(2.0)))
    assert phone.width == 780
    screen = Image.open(io.BytesIO(draw_run_chart(CHART, SCREEN).to_png(1.0))).convert("RGB")
    assert screen.size == (1280, 720)
    assert hex_of(screen.getpixel((2, 2))) == SCREEN.ground
    colours = {tuple(int(v) for v in c) for c in np.asarray(screen).reshape(-1, 3)}
    assert rgb(look_of(1).on_dark) in colours
    assert rgb(look_of(2).on_dark) in colours


def test_written_in_one_step(tmp_path):
    for name in ("run.svg", "RUN.PNG"):
        path = write_drawing(draw_run_chart(CHART), tmp_path / name)
        assert path.read_bytes()[:5] in (b"<?xml", b"\x89PNG\r")
    assert sorted(p.name for p in tmp_path.iterdir()) == ["RUN.PNG", "run.svg"]


def test_an_ending_nobody_knows_is_told(tmp_path):
    with pytest.raises(BadInputError, match=r"run\.jpg: a picture is written as \.svg or \.png"):
        write_drawing(draw_run_chart(CHART), tmp_path / "run.jpg")


def test_a_missing_folder_is_told_and_nothing_is_left(tmp_path):
    with pytest.raises(MachineError, match="could not be written"):
        write_drawing(draw_run_chart(CHART), tmp_path / "no" / "run.svg")
    assert list(tmp_path.iterdir()) == []


def test_a_picture_that_fails_leaves_the_earlier_one(tmp_path, monkeypatch):
    path = tmp_path / "run.svg"
    path.write_text("earlier")

    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("review.charts.drawing.os.replace", refuse)
    with pytest.raises(MachineError, match="No space left"):
        write_drawing(draw_run_chart(CHART), path)
    assert path.read_text() == "earlier"
    assert [p.name for p in tmp_path.iterdir()] == ["run.svg"]


def test_matplotlib_is_not_loaded_before_a_picture_is_drawn():
    code = "import sys, review.charts, review.takehome; print([m for m in sys.modules if m.startswith('matplotlib')])"
    assert subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=True).stdout == "[]\n"


def contrast(one: str, other: str) -> float:
    """W3C, Web Content Accessibility Guidelines 2.1, contrast ratio and relative luminance."""

    def luminance(colour: str) -> float:
        parts = [v / 255 for v in rgb(colour)]
        linear = [v / 12.92 if v <= 0.03928 else ((v + 0.055) / 1.055) ** 2.4 for v in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize("canvas", [PHONE, SCREEN])
def test_lettering_and_marks_stand_out(canvas):
    """4.5 to 1 for lettering, 3 to 1 for marks: the same guidelines."""
    for ground in (canvas.ground, canvas.shade):
        assert contrast(canvas.ink, ground) >= 4.5
        assert contrast(canvas.quiet_ink, ground) >= 4.5
        assert all(contrast(canvas.colour_of(n), ground) >= 3.0 for n in range(1, 6))


def test_a_canvas_too_small_for_its_letters_is_refused():
    with pytest.raises(ValueError, match="room for 22"):
        Canvas(200, 13.0)


@pytest.mark.parametrize("canvas", [PHONE, SCREEN, Canvas(400, 13.0, 300)])
def test_long_words_leave_the_chart_its_room(canvas):
    long = "a name that goes on, " * 30
    values = [5.0, 4.0, 7.0, 3.0, 1.0, 2.0]
    points = tuple(RunPoint(n + 1, v, n // 3 + 1, left_out=n == 2) for n, v in enumerate(values))
    run = RunChart("club_path_deg", Handedness.RIGHT, points, under=long, window=Window(-1.0, 2.0))
    way = np.array([[0.0, 0.0, 0.0], [1.0, 60.0, 20.0], [4.0, 110.0, 0.0]])
    flights = FlightBatch(1, (way, 1.1 * way), long), FlightBatch(2, (0.9 * way,), long)
    strikes = StrikeBatch(1, np.array([[10.0, 5.0], [-10.0, -5.0], [3.0, 2.0]]), long)
    for drawing, gid in (
        (draw_run_chart(run, canvas), "batch-1"),
        (draw_flight_chart(FlightChart(flights, under=long), canvas), "landings-1"),
        (draw_strike_picture(StrikePicture((strikes,), Handedness.LEFT, under=long), canvas), "strikes-1"),
    ):
        read = ReadBack(drawing)
        width, height = (float(v) for v in read.root.get("viewBox").split()[2:])
        assert all(0 < float(t.get("y")) <= height for t in read.root.iter(f"{SVG}text"))
        x, y = np.array(read.places(gid)).T
        assert np.ptp(x) > 5
        assert np.ptp(y) > 0.005 * height
        assert 0 < x.min() < x.max() < width
        assert 0 < y.min() < y.max() < height


@pytest.mark.parametrize("is_dark", [True, False])
def test_on_a_page_the_picture_has_no_ground_of_its_own(is_dark):
    page = Image.open(io.BytesIO(draw_run_chart(CHART, Canvas.on_page((390, None), 13.0, is_dark, str)).to_png(1.0)))
    assert page.getpixel((1, 1))[3] == 0
    alone = Image.open(io.BytesIO(draw_run_chart(CHART, Canvas(390, 13.0, None, is_dark)).to_png(1.0)))
    assert alone.getpixel((1, 1))[3] == 255
