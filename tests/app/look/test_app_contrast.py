"""What is written and drawn stands out from its ground, by the contrast ratio of WCAG 2.1 (1.4.3, 1.4.11).

Relative luminance and contrast ratio as defined in https://www.w3.org/TR/WCAG21/#dfn-relative-luminance.
"""

import pytest

from review.app.look import DARK, LIGHT

N_LOOKS = 5  # after them the looks of batches repeat
TEXT, LARGE_OR_DRAWN = 4.5, 3.0


def luminance(colour: str) -> float:
    parts = [int(colour[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [part / 12.92 if part <= 0.03928 else ((part + 0.055) / 1.055) ** 2.4 for part in parts]
    return sum(share * part for share, part in zip((0.2126, 0.7152, 0.0722), linear, strict=True))


def contrast(one: str, other: str) -> float:
    dark, light = sorted((luminance(one), luminance(other)))
    return (light + 0.05) / (dark + 0.05)


def test_the_formula_gives_the_published_ends():
    assert contrast("#000000", "#FFFFFF") == pytest.approx(21.0)
    assert contrast("#777777", "#FFFFFF") == pytest.approx(4.48, abs=0.01)  # the grey that just fails, W3C's example


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
def test_text_can_be_read(theme):
    for ground in (theme.ground, theme.raised, theme.shade):
        assert contrast(theme.ink, ground) >= TEXT
        assert contrast(theme.quiet_ink, ground) >= TEXT
    assert contrast(theme.trouble_ink, theme.trouble) >= TEXT


@pytest.mark.parametrize("theme", [DARK, LIGHT], ids=lambda theme: theme.name)
def test_marks_and_the_focus_can_be_told(theme):
    for ground in (theme.ground, theme.raised, theme.shade):
        assert contrast(theme.accent, ground) >= LARGE_OR_DRAWN
        for number in range(1, N_LOOKS + 1):
            assert contrast(theme.colour_of(number), ground) >= LARGE_OR_DRAWN, (number, ground)
    assert contrast(theme.accent, theme.line) >= LARGE_OR_DRAWN  # a border that has the keyboard from one that has not
