"""The panel of the pressure beside a swing: the trail foot in words, where the target is, top and impact as shapes."""

from dataclasses import replace

import numpy as np
import pytest
from PyQt5.QtGui import QColor

from review.app.language import speak
from review.app.look import DARK, Look
from review.app.swing_view.pressure_panel import PressurePanel
from review.jobs.showing.beside_swing import PressureShown
from review.lesson import Handedness, Measure

FOOT = (
    Measure("trail_foot_twist_deg", 4.0, "arm level"),
    Measure("heel_off_ms", float("nan"), why_missing="the quick run cannot tell it"),
)


def made(handedness=Handedness.RIGHT, phases_s=None, is_placed=True):
    moments_s = np.linspace(-1.0, 0.5, 151)
    xy = np.column_stack([20 * moments_s, np.zeros(151)])
    return PressureShown(moments_s, xy, phases_s=phases_s, foot=FOOT, handedness=handedness, is_placed=is_placed)


@pytest.fixture
def panel(qtbot):
    panel = PressurePanel()
    qtbot.addWidget(panel)
    panel.resize(400, 300)
    panel.set_look(Look.fit(DARK, 1366, 768))
    return panel


def test_the_trail_foot_is_told_with_its_key_frame_and_what_is_missing_with_its_reason(panel):
    panel.show_pressure(made())
    assert panel.foot_words() == ["trail-foot twist at arm level: toe turned 4° toward target"]
    assert panel.missing_words() == ["Heel-off: the quick run cannot tell it."]


@pytest.mark.parametrize(("handedness", "said"), [(Handedness.RIGHT, "Ziel →"), (Handedness.LEFT, "← Ziel")])
def test_where_the_target_is_stands_in_the_coachs_language(panel, handedness, said):
    speak("de")
    try:
        panel.show_pressure(made(handedness))
        assert panel.target_words() == said
        panel.show_pressure(made(handedness, is_placed=False))
        assert panel.target_words() == ""
    finally:
        speak("en")


def test_where_nobody_stands_on_the_mat_nothing_is_drawn_or_told_as_a_place(panel):
    """The way of 20 cm a second misses half a second, in which the top and the dot lie."""
    whole = made(phases_s=(-0.3, 0.3))
    gap = whole.xy_cm.copy()
    gap[60:110] = np.nan
    empty = replace(whole, moments_s=np.zeros(0), xy_cm=np.zeros((0, 2)))

    def draw(pressure, moment_s):
        panel.show_pressure(replace(pressure, foot=()))
        panel.show_moment(moment_s)
        image = panel.grab().toImage()
        inks = {QColor(DARK.ink).rgb(), QColor(DARK.quiet_ink).rgb()}
        return {x for x in range(12, 388) for y in range(80, 230) if image.pixel(x, y) in inks}

    def said():
        return panel.accessibleDescription().split(";")[0]

    left, right = (8 + 384 * np.array([70, 109]) / 150).astype(int)  # the panel is 400 wide, 8 free to either side
    missing = set(range(left + 8, right - 8))
    assert len(missing & draw(whole, -0.2)) > 0.8 * len(missing)
    assert not missing & draw(replace(whole, xy_cm=gap), -0.2)
    assert said() == "not on the mat"
    draw(replace(whole, xy_cm=gap), -0.8)
    assert said() == "-16 cm, 0 cm"
    for nothing in (replace(whole, xy_cm=np.full_like(gap, np.nan)), empty):
        assert draw(nothing, -0.2) == set()
        assert said() == "not on the mat"


def test_top_and_impact_are_shapes_on_the_way(panel):
    """A line is a few pixels high, a shape a dozen."""

    def tallest(phases_s):
        panel.show_pressure(replace(made(phases_s=phases_s), foot=()))
        panel.show_moment(9.0)
        image, ink = panel.grab().toImage(), QColor(DARK.quiet_ink).rgb()
        columns = (sum(image.pixel(x, y) == ink for y in range(80, 230)) for x in range(12, 388))
        return sum(height > 6 for height in columns)

    assert tallest(None) == 0
    assert tallest((-0.7, 0.0)) >= 4


def test_the_place_between_the_feet_follows_the_frame_where_it_is_known(panel):
    whole = replace(made(phases_s=(-0.3, 0.0)), position_pct=np.linspace(20.0, 95.0, 151))
    panel.show_pressure(whole)
    panel.show_moment(0.0)
    assert panel.position_words() == "70 %"
    assert "; 70 %; " in panel.accessibleDescription()
    panel.show_moment(9.0)
    assert panel.position_words() == ""
    panel.show_pressure(replace(whole, is_about=True, has_impact=False))
    panel.show_moment(0.0)
    assert panel.position_words() == "about 70 %"
    assert "0.15 s early or late" in panel.time_words()


def test_impact_has_a_shape_only_where_it_is_known_well(panel):
    def shapes(pressure):
        panel.show_pressure(replace(pressure, foot=()))
        panel.show_moment(-9.0)
        image = panel.grab().toImage()
        ink = QColor(DARK.quiet_ink).rgb()
        at = round(8 + 384 * 100 / 150)  # impact is two thirds along the way
        return sum(image.pixel(at, y) == ink for y in range(80, 230))

    known = made(phases_s=(-0.3, 0.0))
    assert shapes(known) > shapes(replace(known, has_impact=False))
