"""What the pupil gets: clips locked at impact, a page that asks nobody, a sheet of one page, a harmless table."""

import base64
import hashlib
import re
from dataclasses import replace
from datetime import date
from html.parser import HTMLParser
from pathlib import Path

import numpy as np
import pytest

from review.compare import Verdict
from review.errors import BadInputError, Cancelled
from review.lesson import KeyFrame
from review.media import VideoWriter, probe_video, read_frames
from review.takehome import (
    BatchWords,
    Chart,
    ChartPoint,
    ClipSide,
    FeltMeasured,
    Pair,
    Row,
    SwingNumber,
    TakeHome,
    render_pair,
    write_takehome,
)
from review.takehome.clips.files import ClipChoice
from review.takehome.clips.rendering import MOST_BYTES

HOSTILE = '<script>alert("x")</script> \' " & אבג مرحبا 🏌️ ' + "long " * 60


CLIPS = {"01-face-on-first-and-last.mp4", "02-face-on-first.mp4", "03-face-on-last.mp4"}


def flash_clip(path: Path, rate_hz: int, n: int, flash: int) -> None:
    """A dark clip with one white picture: the instant of impact."""
    with VideoWriter(path, 180, 320, rate_hz) as writer:
        for i in range(n):
            writer.write(np.full((320, 180, 3), 235 if i == flash else 30, np.uint8))


def side(path: Path, impact_s: float, label: str, batch: int) -> ClipSide:
    frames = tuple(
        KeyFrame(name, impact_s + gap, max(0, round((impact_s + gap) * 30)), 0.9, "pose")
        for name, gap in (("address", -0.4), ("top", -0.2), ("impact", 0.0), ("finish", 0.2))
    )
    return ClipSide(path, label, batch, impact_s, frames, numbers=(SwingNumber("Club path", "6.0° in-to-out"),))


@pytest.fixture(scope="module")
def pair(tmp_path_factory) -> Pair:
    folder = tmp_path_factory.mktemp("clips")
    flash_clip(folder / "slow.mp4", 30, 60, 36)
    flash_clip(folder / "fast.mp4", 60, 110, 66)
    first = side(folder / "slow.mp4", 36 / 30, "Batch 1, swing 2", 1)
    last = side(folder / "fast.mp4", 66 / 60, "Batch 3, swing 15", 3)
    return Pair(first, last, "face-on", "Swing 2 and swing 15")


@pytest.fixture(scope="module")
def clip(pair, tmp_path_factory) -> Path:
    out = tmp_path_factory.mktemp("clip") / "pair.mp4"
    render_pair(pair, out)
    return out


@pytest.fixture(scope="module")
def plain_folder(pair, tmp_path_factory) -> Path:
    return write_takehome(contents(pair), tmp_path_factory.mktemp("plain") / "out").parent


@pytest.fixture(scope="module")
def hostile_folder(pair, tmp_path_factory) -> Path:
    folder = tmp_path_factory.mktemp("hostile") / "out"
    return write_takehome(contents(pair, HOSTILE), folder, choice=ClipChoice(with_singles=False)).parent


def contents(pair: Pair | None, name: str = "Ines Calder") -> TakeHome:
    return TakeHome(
        pupil_name=name,
        held_on=date(2026, 3, 14),
        aim="path nearer to the target line",
        worked_on=name,
        batches=(BatchWords(1, "as she came", "", 6), BatchWords(3, name, name, 6)),
        pairs=() if pair is None else (pair,),
        rows=(
            Row(
                "Club path",
                "5.9° in-to-out",
                "1.9° in-to-out",
                "4.0° less in-to-out",
                "2.3 to 5.7°",
                "clear",
                True,
                verdict=Verdict.CLEAR,
            ),
        ),
        charts=(Chart("Club path", "°", tuple(ChartPoint(i, 6.0 - i / 3, 1 if i < 7 else 3) for i in range(1, 13))),),
        felt_measured=(FeltMeasured(name, ("club path: 4.0° less in-to-out (clear)",)),),
        practice=("Ten slow swings.", name),
        check_alone=name,
        notes=(name,),
        swings_csv=({"swing": 1.0, "kind": "=1+1", "club path [deg]": -2.5}, {"swing": 2.0, "kind": "@SUM(A1)"}),
    )


def test_both_halves_show_impact_at_the_same_moment(clip):
    info = probe_video(clip)
    left, right = [], []
    for frame in read_frames(info):
        half = frame.rgb.shape[1] // 2
        # brightness of the middle rows, where the pictures are
        rows = frame.rgb[frame.rgb.shape[0] // 6 : frame.rgb.shape[0] // 2]
        left.append(float(rows[:, :half].mean()))
        right.append(float(rows[:, half:].mean()))
    bright_left = set(np.flatnonzero(np.array(left) > np.median(left) + 30))
    bright_right = set(np.flatnonzero(np.array(right) > np.median(right) + 30))
    assert bright_right
    # a picture of the slower clip stands twice as long, so the faster one's flash lies inside it
    assert bright_right <= bright_left
    # once at real speed, once slow
    runs = np.split(sorted(bright_right), np.flatnonzero(np.diff(sorted(bright_right)) > 5) + 1)
    assert len(runs) == 2
    assert len(runs[1]) > 2 * len(runs[0])


def test_the_clip_plays_on_a_phone(clip):
    info = probe_video(clip)
    assert info.codec == "h264"
    assert not info.has_audio
    data = clip.read_bytes()
    assert len(data) < MOST_BYTES
    # faststart: the index (moov) comes before the pictures (mdat); ISO/IEC 14496-12 boxes
    assert 0 < data.find(b"moov") < data.find(b"mdat")
    assert info.width_px % 2 == info.height_px % 2 == 0


def test_a_cancelled_clip_leaves_no_file(pair, tmp_path):
    def stop(done: int, total: int) -> None:
        if done > 5:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        render_pair(pair, tmp_path / "pair.mp4", stop)
    assert not list(tmp_path.iterdir())


def test_the_folder_is_complete(plain_folder):
    names = {p.name for p in plain_folder.iterdir()}
    assert names == {".take-home", "index.html", "sheet.pdf", "measures.csv", *CLIPS}
    assert [p.name for p in plain_folder.parent.iterdir()] == ["out"]


def test_a_stopped_run_keeps_the_earlier_take_home(pair, tmp_path):
    write_takehome(contents(None, "Earlier"), tmp_path / "out")
    before = (tmp_path / "out" / "index.html").read_bytes()

    def stop(done: int, total: int) -> None:
        if done > 10:
            raise Cancelled("stopped")

    with pytest.raises(Cancelled):
        write_takehome(contents(pair), tmp_path / "out", stop)
    assert (tmp_path / "out" / "index.html").read_bytes() == before
    assert sorted(p.name for p in tmp_path.iterdir()) == ["out"]


def test_a_folder_with_other_files_is_not_touched(tmp_path):
    (tmp_path / "photos").mkdir()
    (tmp_path / "photos" / "family.jpg").write_bytes(b"family")
    with pytest.raises(BadInputError):
        write_takehome(contents(None), tmp_path / "photos")
    assert (tmp_path / "photos" / "family.jpg").read_bytes() == b"family"


class Tags(HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.tags: list[tuple[str, dict[str, str | None]]] = []

    def handle_starttag(self, tag, attrs):
        self.tags.append((tag, dict(attrs)))


@pytest.fixture(scope="module")
def page(hostile_folder) -> str:
    return (hostile_folder / "index.html").read_text(encoding="utf-8")


def test_the_page_asks_nobody_and_runs_only_its_own_script(page):
    parsed = Tags()
    parsed.feed(page)
    tags = [tag for tag, _ in parsed.tags]
    assert tags.count("script") == tags.count("style") == 1
    assert not any(name == "style" or name.startswith("on") for _, attributes in parsed.tags for name in attributes)
    policy = next(a["content"] for tag, a in parsed.tags if tag == "meta" and a.get("http-equiv"))
    assert policy is not None
    assert "default-src 'none'" in policy
    assert "unsafe" not in policy
    for tag in ("script", "style"):
        text = re.search(f"<{tag}>(.*?)</{tag}>", page, re.DOTALL)
        assert text is not None
        allowed = base64.b64encode(hashlib.sha256(text[1].encode("utf-8")).digest()).decode("ascii")
        assert f"{tag}-src 'sha256-{allowed}'" in policy
    for _, attributes in parsed.tags:
        for name in ("src", "href", "poster"):
            value = attributes.get(name) or ""
            assert not value.startswith(("http:", "https:", "//")), value[:60]
    assert not re.search(r"url\(\s*['\"]?http", page)


def test_hostile_words_are_text_on_the_page(page):
    assert "<script>alert" not in page
    assert "&lt;script&gt;alert" in page
    assert "אבג" in page


def test_the_page_can_be_read_by_everyone(page):
    parsed = Tags()
    parsed.feed(page)
    html = next(a for tag, a in parsed.tags if tag == "html")
    assert html.get("lang")
    assert all(a.get("alt") for tag, a in parsed.tags if tag == "img")
    levels = [int(tag[1]) for tag, _ in parsed.tags if re.fullmatch(r"h[1-6]", tag)]
    assert levels[0] == 1
    assert levels.count(1) == 1
    assert all(b - a <= 1 for a, b in zip(levels, levels[1:], strict=False))


def test_cautions_stand_on_page_and_clear_is_said_in_words(page):
    for words in ("Warm up", "stop", "medical advice"):
        assert words in page
    assert "clear" in page


@pytest.mark.parametrize("which", ["plain_folder", "hostile_folder"])
def test_the_sheet_is_one_page_with_its_fonts(which, request):
    pdf = (request.getfixturevalue(which) / "sheet.pdf").read_bytes()
    assert pdf.startswith(b"%PDF")
    assert len(re.findall(rb"/Type\s*/Page\b(?!s)", pdf)) == 1
    assert b"/FontFile2" in pdf


def test_cells_that_a_spreadsheet_would_run_are_harmless(tmp_path):
    write_takehome(contents(None), tmp_path / "out")
    table = (tmp_path / "out" / "measures.csv").read_text(encoding="utf-8-sig")
    cells = [cell.strip('"') for line in table.splitlines()[1:] for cell in line.split(",")]
    assert not any(re.match(r"[=@+]|-[^\d]", cell) for cell in cells)
    # numbers stay numbers
    assert "-2.5" in cells


def test_impact_outside_the_clip_is_told(pair, tmp_path):
    wrong = replace(pair, first=replace(pair.first, impact_s=99.0, key_frames=()))
    with pytest.raises(BadInputError):
        render_pair(wrong, tmp_path / "pair.mp4")
