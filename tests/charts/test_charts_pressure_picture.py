"""The way of the pressure over drawn feet: places in the SVG, which way round, the outline of a foot."""

import re
from dataclasses import replace

import numpy as np
import pytest

from review.charts import (
    PHONE,
    SCREEN,
    PressureBatch,
    PressurePicture,
    draw_pressure_picture,
    outline_foot,
)
from review.charts.pressure_picture import _outline_band
from review.errors import BadInputError
from review.lesson import Handedness


def made(number=1, impact_x=12.0):
    n = 10
    x = np.concatenate([np.linspace(0, -8, n, endpoint=False), np.linspace(-8, impact_x, 2 * n + 1)])
    way = np.column_stack([x, np.linspace(0, 3, 3 * n + 1)])
    keys = {name: tuple(way[i * n]) for i, name in enumerate(("address", "top", "arm level", "impact"))}
    return PressureBatch(number, way, np.full_like(way, 1.0), n, keys, 6, way[-1] + np.outer(np.arange(9), (0.5, -0.4)))


def draw(handedness=Handedness.RIGHT, canvas=PHONE):
    picture = PressurePicture((made(1), made(3, 15.0)), handedness, 43.0, 20.0, 8.0)
    return draw_pressure_picture(picture, canvas).to_svg().decode()


def x_of(svg, gid):
    path = re.search(rf'<g id="{gid}">\s*<path d="M ([\d.]+) ([\d.]+)', svg)
    return float(path[1])


def y_of(svg, gid):
    path = re.search(rf'<g id="{gid}">\s*<path d="M ([\d.]+) ([\d.]+)', svg)
    return float(path[2])


def test_the_target_is_where_a_face_on_camera_sees_it():
    right, left = draw(), draw(Handedness.LEFT)
    assert x_of(right, "impact-3") > x_of(right, "impact-1") > x_of(right, "top-1")
    assert x_of(left, "impact-3") < x_of(left, "impact-1") < x_of(left, "top-1")
    assert "target →" in right
    assert "← target" in left


def test_phases_differ_by_line_style_and_batches_by_number_too():
    svg = draw(canvas=SCREEN)
    assert re.search(r'<g id="back-1">\s*<path[^>]*stroke-dasharray', svg)
    assert not re.search(r'<g id="down-1">\s*<path[^>]*stroke-dasharray', svg)
    dashes = {
        name: re.search(rf'<g id="{name}-1">\s*<path[^>]*stroke-dasharray: ([\d., ]+)', svg)
        for name in ("back", "after")
    }
    assert dashes["back"][1] != dashes["after"][1]
    assert "Batch 1 (6 shots)" in svg
    words = set(re.findall(r">([^<>]+)</text>", svg))
    assert {"address", "top", "arm level", "impact", "backswing", "after impact", "lead foot", "trail foot"} <= words


def test_the_band_covers_one_standard_deviation_around_the_way_and_nothing_else():
    way = np.column_stack([np.linspace(0, 10, 21), np.zeros(21)])
    hulls = _outline_band(way, np.tile((1.0, 2.0), (21, 1)))
    low, high = np.min([h.min(axis=0) for h in hulls], axis=0), np.max([h.max(axis=0) for h in hulls], axis=0)
    assert low == pytest.approx((-1.0, -2.0))
    assert high == pytest.approx((11.0, 2.0))
    # all the same way round, or they would take each other away where they overlap
    turned = [np.sum(h[:, 0] * np.roll(h[:, 1], -1) - np.roll(h[:, 0], -1) * h[:, 1]) for h in hulls]
    assert min(turned) > 0


def test_one_shot_has_no_band():
    svg = draw_pressure_picture(PressurePicture((replace(made(), n_swings=1),), Handedness.RIGHT), SCREEN).to_svg()
    assert b"spread-1" not in svg
    assert b"Shaded" not in svg


def test_a_key_frame_that_is_not_known_is_neither_drawn_nor_explained():
    def without(batch, *names):
        return replace(batch, key_cm={name: at for name, at in batch.key_cm.items() if name not in names})

    one, other = without(made(1), "address", "arm level"), without(made(3), "address")
    svg = draw_pressure_picture(PressurePicture((one, other), Handedness.RIGHT), SCREEN).to_svg().decode()
    drawn = {
        name for name in re.findall(r'<g id="([a-z-]+\d?)"', svg) if re.match("address|top|arm-level|impact|key", name)
    }
    assert drawn == {"top-1", "impact-1", "top-3", "arm-level-3", "impact-3", "key-top", "key-arm-level", "key-impact"}
    assert not re.search(r">address</text>", svg)


def test_where_impact_is_not_known_the_way_goes_on_in_one_without_band_or_number_at_impact():
    vague = replace(made(1), key_cm={"top": (-8.0, 1.0), "finish": (16.0, 0.0)}, has_impact=False)
    svg = draw_pressure_picture(PressurePicture((vague,), Handedness.RIGHT), SCREEN).to_svg().decode()
    assert not re.search('spread-1|after-1|impact-1|arm-level-1|Shaded|"after impact"|>top to impact<', svg)
    assert {"from the top on", "finish"} <= set(re.findall(r">([^<>]+)</text>", svg))
    both = draw_pressure_picture(PressurePicture((vague, made(3)), Handedness.RIGHT), SCREEN).to_svg().decode()
    assert re.search("spread-3", both)
    assert not re.search("spread-1|impact-1", both)


def test_keys_that_do_not_fit_go_on_the_next_row():
    said = draw_pressure_picture(
        PressurePicture((made(),), Handedness.RIGHT), replace(PHONE, say=lambda t: f"{t} ({t}) {t}")
    ).to_svg()
    places = re.findall(r' x="([\d.]+)" y="([\d.]+)"[^<]*>(address|top|arm level|impact) \(', said.decode())
    assert len({y for _, y, _ in places}) > 1
    assert all(float(x) < 390 * 0.75 for x, _, _ in places)


def test_a_foot_is_as_long_as_said_and_turned_out():
    straight = outline_foot(26.0, (0.0, 0.0), 0.0, True)
    assert np.ptp(straight[:, 1]) == pytest.approx(26.0)
    assert 8.5 < np.ptp(straight[:, 0]) < 11  # a foot is about 0.38 as wide as long
    n_to_toe = len(straight) // 2
    toe = outline_foot(26.0, (20.0, 0.0), 20.0, True)[n_to_toe]
    other = outline_foot(26.0, (-20.0, 0.0), 20.0, False)[n_to_toe]
    assert np.degrees(np.arctan2(toe[0] - 20, toe[1])) == pytest.approx(20, abs=3)
    assert other == pytest.approx(toe * (-1, 1))


def test_nothing_to_draw_is_said():
    with pytest.raises(BadInputError, match="measure the lesson first"):
        draw_pressure_picture(PressurePicture((), Handedness.RIGHT))


def test_nothing_is_toward_the_target_where_nobody_told_how_the_mat_lies():
    picture = PressurePicture((made(1),), Handedness.RIGHT, is_placed=False)
    svg = draw_pressure_picture(picture, SCREEN).to_svg().decode()
    assert "target" not in svg
    assert "Shaded" in svg
    assert "toes" not in svg
    left = replace(picture, handedness=Handedness.LEFT)
    assert draw_pressure_picture(left, SCREEN).to_svg().decode() == svg
    assert y_of(svg, "impact-1") < y_of(svg, "top-1")  # the mat's y upward, as beside a swing
