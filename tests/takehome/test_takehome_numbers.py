"""What stands about a swing's numbers on a clip: no more is said than is known."""

import numpy as np
import pytest

from review.compare import Verdict
from review.media import to_planes, to_rgb
from review.takehome import Row, SwingNumber
from review.takehome.clips.dressing import Box
from review.takehome.clips.number_lines import draw_numbers, numbers_high_px
from review.takehome.clips.pointing import draw_pointer
from review.takehome.page import verdict_mark

NUMBERS = (
    SwingNumber("Club path", "2.0° in-to-out", "", Verdict.CLEAR),
    SwingNumber("Hip turn at impact", "open 45°", "32 to 58", Verdict.LIKELY),
    SwingNumber("Trail-heel lift at impact", "5.0 cm up", "1.1 to 8.9", Verdict.CANT_TELL),
)


class Noted:
    """Notes what is written instead of drawing it."""

    def __init__(self) -> None:
        self.written: list[tuple[float, str, tuple[int, int, int]]] = []

    def text(self, xy, text, fill, font) -> None:
        self.written.append((xy[1] + font.size, text, fill))


@pytest.mark.parametrize("width_px", [400, 502, 1024])
def test_a_number_says_how_far_it_is_known_and_what_the_batches_tell(width_px):
    canvas = Noted()
    high = numbers_high_px(NUMBERS, width_px, with_verdict=True)
    draw_numbers(canvas, NUMBERS, Box(0, 0, width_px, high), with_verdict=True)
    said = " ".join(text for _, text, _ in canvas.written)
    for words in ("open 45°", "(32 to 58)", "first to last: clear", "first to last: likely", "(1.1 to 8.9)"):
        assert words in said
    assert "first to last: can't tell yet" in said
    inks = {text: fill for _, text, fill in canvas.written}
    assert sum(inks["5.0 cm up"]) < sum(inks["open 45°"])  # no fact, and not as bright as one
    assert max(low for low, _, _ in canvas.written) <= high


def test_the_first_swing_beside_another_has_no_verdict_of_its_own():
    canvas = Noted()
    draw_numbers(canvas, NUMBERS, Box(0, 0, 502, 900), with_verdict=False)
    assert not any("first to last" in text for _, text, _ in canvas.written)


def test_what_finds_no_room_is_left_away_whole():
    canvas = Noted()
    draw_numbers(canvas, NUMBERS, Box(0, 0, 502, numbers_high_px(NUMBERS[:2], 502, True)), with_verdict=True)
    said = " ".join(text for _, text, _ in canvas.written)
    assert "first to last: likely" in said
    assert "Trail-heel" not in said


def test_an_arrow_says_what_to_see():
    """The words take room that the name alone does not; both stay inside the picture."""
    drawn = []
    for words in ("", "turned away 41°"):
        picture = to_planes(np.full((720, 406, 3), 128, np.uint8))
        draw_pointer(picture, np.array([390.0, 400.0]), np.array([200.0, 350.0]), "hips", words)
        drawn.append((to_rgb(picture).astype(int) < 60).all(axis=2))
    name, both = drawn
    assert 2 * name.sum() < both.sum()
    assert (np.flatnonzero(both.any(axis=1))[[0, -1]] > 0).all()


@pytest.mark.parametrize(
    ("verdict", "mark", "firm"),
    [(Verdict.CLEAR, "●", True), (Verdict.LIKELY, "◐", True), (Verdict.CANT_TELL, "○", False), (None, "○", False)],
)
def test_the_mark_comes_from_the_verdict_whatever_the_words(verdict, mark, firm):
    assert verdict_mark(Row("Club path", "6.0°", "2.0°", verdict_words="clear as mud", verdict=verdict)) == mark
    assert SwingNumber("Club path", "2.0°", "", verdict).is_firm == firm
