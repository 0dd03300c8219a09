"""Both halves of a pair show, at every picture, the frame nearest to the same true time from impact.

The clips carry the number of each frame as eight black or white blocks, so what is shown is read from the picture
itself and compared with a search over all frames.
"""

from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.errors import BadInputError
from review.lesson import KeyFrame
from review.media import VideoWriter, probe_video, read_frames
from review.pose import LandmarkTrack
from review.takehome import ClipSide, Pair, render_clip, render_pair
from review.takehome.clips.passages import list_instants, plan_passages
from review.takehome.clips.rendering import ClipOptions, Rendered
from review.takehome.clips.stage import build_stage

WIDTH, HEIGHT, BLOCK = 180, 320, 40


def write_coded_clip(path: Path, rate_hz: float, n: int) -> None:
    with VideoWriter(path, WIDTH, HEIGHT, rate_hz) as writer:
        for number in range(n):
            picture = np.full((HEIGHT, WIDTH, 3), 90, np.uint8)
            for bit in range(8):
                row, column = divmod(bit, 4)
                value = 235 if number >> bit & 1 else 16
                picture[row * BLOCK : (row + 1) * BLOCK, column * BLOCK : (column + 1) * BLOCK] = value
            writer.write(picture)


def read_code(half: np.ndarray) -> int:
    scale_y, scale_x = half.shape[0] / HEIGHT, half.shape[1] / WIDTH
    number = 0
    for bit in range(8):
        row, column = divmod(bit, 4)
        # below a key frame's name, which stands at the top left
        middle = half[round((row + 0.85) * BLOCK * scale_y), round((column + 0.5) * BLOCK * scale_x)]
        number |= int(middle.mean() > 125) << bit
    return number


def make_side(path: Path, impact_s: float, time_scale: float, batch: int, names: dict[str, float]) -> ClipSide:
    frames = tuple(KeyFrame(n, impact_s + gap / time_scale, 0, 0.9, "pose") for n, gap in names.items())
    return ClipSide(path, f"Batch {batch}", batch, impact_s, frames, time_scale)


@pytest.fixture(scope="module")
def coded_pair(tmp_path_factory) -> Pair:
    """One clip at 30 a second, one in slow motion: 120 a second in truth, stamped as 30."""
    folder = tmp_path_factory.mktemp("coded")
    write_coded_clip(folder / "plain.mp4", 30, 40)
    write_coded_clip(folder / "slow.mp4", 30, 160)
    # impacts that fall between frames
    first = make_side(folder / "plain.mp4", 0.713, 1.0, 1, {"address": -0.3, "top": -0.1, "impact": 0.0, "finish": 0.1})
    last = make_side(folder / "slow.mp4", 2.941, 0.25, 2, {"address": -0.2, "top": -0.15, "impact": 0.0, "finish": 0.2})
    return Pair(first, last, "face-on", "coded")


@pytest.fixture(scope="module")
def written(coded_pair, tmp_path_factory) -> tuple[Path, Rendered]:
    out = tmp_path_factory.mktemp("written") / "pair.mp4"
    return out, render_pair(coded_pair, out)


def test_every_picture_shows_the_same_true_time_on_both_sides(coded_pair, written):
    out, rendered = written
    infos = (probe_video(coded_pair.first.path), probe_video(coded_pair.last.path))
    passages = plan_passages(coded_pair, infos)
    stage = build_stage(coded_pair, infos, passages[0].start_s, passages[0].stop_s)
    shown = []
    for frame in read_frames(out):
        halves = [frame.rgb[b.y : b.y + b.height, b.x : b.x + b.width] for b in stage.boxes]
        shown.append([read_code(half) for half in halves])
    assert len(shown) == len(rendered.instants_s)
    for instant, codes, is_held in zip(rendered.instants_s, shown, rendered.is_held, strict=True):
        if is_held:
            continue
        for side, info, code in zip(coded_pair.sides, infos, codes, strict=True):
            # the search over all frames: how far each lies from the instant, in true seconds
            gaps = np.abs((info.time_s - side.impact_s) * side.time_scale - instant)
            # two frames may be equally near; 1e-9 s is far below the time base of any clip
            assert gaps[code] <= gaps.min() + 1e-9, (instant, code, int(gaps.argmin()))


def test_true_time_passes_at_full_and_at_quarter_speed(written):
    out, rendered = written
    steps = np.diff(rendered.instants_s[~rendered.is_held])
    restart = int(np.flatnonzero(steps < 0)[0])
    assert np.allclose(steps[:restart], 1.0 / rendered.rate_hz)
    slow = steps[restart + 1 :]
    assert np.allclose(slow[slow > 0], 0.25 / rendered.rate_hz)
    # impact itself is shown in both passages
    zeros = np.flatnonzero(np.abs(rendered.instants_s[~rendered.is_held]) < 1e-12)
    assert (zeros < restart).any()
    assert (zeros > restart).any()
    assert probe_video(out).frame_rate_hz == pytest.approx(rendered.rate_hz, abs=0.01)


def test_passages_run_from_before_both_addresses_to_after_both_finishes(coded_pair):
    infos = (probe_video(coded_pair.first.path), probe_video(coded_pair.last.path))
    real, slow = plan_passages(coded_pair, infos)
    # the margin is 0.3 s; the earlier address lies 0.3 s before impact, the later finish 0.2 s after it
    assert real.start_s == pytest.approx(-0.6)
    assert real.stop_s == pytest.approx(min(0.5, 39 / 30 - 0.713), abs=1e-3)
    assert (real.speed, slow.speed) == (1.0, 0.25)
    assert slow.start_s <= -0.15
    assert slow.stop_s == pytest.approx(0.15)


def test_a_pair_ends_with_the_shorter_clip(coded_pair, tmp_path):
    write_coded_clip(tmp_path / "short.mp4", 30, 25)
    short = replace(coded_pair.first, path=tmp_path / "short.mp4")
    infos = (probe_video(short.path), probe_video(coded_pair.last.path))
    real, slow = plan_passages(replace(coded_pair, first=short), infos)
    assert real.stop_s == pytest.approx(24 / 30 - 0.713, abs=1e-3)
    assert slow.stop_s <= real.stop_s
    assert list_instants(slow, 30)[-1] <= real.stop_s + 1e-9


def test_a_pair_without_key_frames_is_still_shown(coded_pair):
    bare = [replace(side, key_frames=()) for side in coded_pair.sides]
    infos = (probe_video(bare[0].path), probe_video(bare[1].path))
    real, slow = plan_passages(Pair(bare[0], bare[1], "face-on", ""), infos)
    for passage in (real, slow):
        assert passage.start_s < 0.0 < passage.stop_s
        assert 0.0 in list_instants(passage, 60)


def test_a_clip_stays_below_the_bytes_asked_for(coded_pair, tmp_path):
    most = 60_000
    render_clip(coded_pair, tmp_path / "small.mp4", options=ClipOptions(most_bytes=most))
    assert (tmp_path / "small.mp4").stat().st_size <= most
    # rather smaller than coarser
    assert probe_video(tmp_path / "small.mp4").height_px < 1920


def test_a_wide_picture_is_cut_to_the_player_and_the_lines_lie_on_the_body(tmp_path):
    """The "player" is a white bar with its landmarks on its edges: the lines must lie there after cutting."""
    n, x = 12, 800
    with VideoWriter(tmp_path / "wide.mp4", 1280, 720, 30) as writer:
        for _ in range(n):
            picture = np.full((720, 1280, 3), 20, np.uint8)
            picture[200:600, x - 30 : x + 30] = (200, 40, 40)
            writer.write(picture)
    body = np.zeros((n, 33, 2))
    body[..., 0], body[..., 1] = x, np.linspace(200, 600, 33)
    points = np.dstack([body, np.zeros((n, 33, 1))])
    track = LandmarkTrack(
        np.arange(n) / 30, points, np.zeros((n, 33, 3)), np.ones((n, 33)), 1280, 720, "none", "made up"
    )
    side = ClipSide(tmp_path / "wide.mp4", "wide", 1, 0.2, track=track)
    pair = Pair(side, side, "face-on", "")
    info = probe_video(side.path)
    stage = build_stage(pair, (info, info), -0.5, 0.5)
    first, end = stage.crops[0]
    assert end - first < 0.6 * info.width_px
    assert first < x < end
    render_pair(pair, tmp_path / "pair.mp4")
    frame = next(read_frames(tmp_path / "pair.mp4"))
    box = stage.boxes[0]
    half = frame.rgb[box.y : box.y + box.height, box.x : box.x + box.width].astype(int)
    red = half[:, :, 0] - half[:, :, 1] > 80
    light = half.min(axis=2) > 150
    columns_red, columns_light = np.flatnonzero(red.any(axis=0)), np.flatnonzero(light[: box.height // 2].any(axis=0))
    assert len(columns_light)
    # the line, a few pixels wide, stands in the middle of the bar
    assert columns_light.mean() == pytest.approx(columns_red.mean(), abs=4)


@pytest.mark.parametrize("impact_s", [-0.5, 1.5])
def test_an_impact_outside_names_the_clip(coded_pair, tmp_path, impact_s):
    wrong = replace(coded_pair, first=replace(coded_pair.first, impact_s=impact_s))
    with pytest.raises(BadInputError, match=r"plain\.mp4"):
        render_pair(wrong, tmp_path / "pair.mp4")
    assert not list(tmp_path.iterdir())
