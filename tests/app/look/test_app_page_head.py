"""Long names and many keys share a line: a name is cut, keys go one by one, nothing holds the page wide."""

import pytest
from PyQt5.QtWidgets import QHBoxLayout, QLabel, QWidget

from review.app.look.page_head import ElidedLabel, KeysLine, PageHead

LONG = {
    "latin": "Anneliese " * 30,
    "right to left": "\u05e9\u05dc\u05d5\u05dd \u202e" * 40,
    "pictures": "\U0001f3cc\ufe0f\u200d\u2640\ufe0f " * 60,
}
KEYS = "A first   B second   C third   ? keys"


@pytest.mark.parametrize("name", LONG.values(), ids=LONG.keys())
def test_a_long_name_does_not_widen_its_page(qtbot, name: str) -> None:
    page = QWidget()
    qtbot.addWidget(page)
    other, label = QLabel("beside", page), ElidedLabel(name, page)
    layout = QHBoxLayout(page)
    for part in (label, other):
        layout.addWidget(part)
    page.resize(300, 40)
    page.show()
    assert page.minimumSizeHint().width() < 150
    assert other.width() >= other.sizeHint().width()
    assert label.shown.endswith("…") or label.shown.startswith("…")
    assert label.fontMetrics().horizontalAdvance(label.shown) <= label.width() + 1
    assert label.toolTip() == label.accessibleName() == label.text()
    assert "\u202e" not in label.text()


def test_keys_go_from_behind_and_the_last_stays(qtbot) -> None:
    line = KeysLine(KEYS)
    qtbot.addWidget(line)
    shown = []
    for width in (1000, line.fontMetrics().horizontalAdvance("A first   B second   ? keys"), 1):
        line.resize(width, 30)
        shown.append(line.shown)
    assert shown == [KEYS, "A first   B second   ? keys", "? keys"]


def test_a_long_title_leaves_room_for_keys(qtbot) -> None:
    title, keys = ElidedLabel("name " * 80), KeysLine(KEYS)
    head = PageHead(title, keys)
    qtbot.addWidget(head)
    head.resize(600, 30)
    head.show()
    assert title.geometry().right() < keys.geometry().left()
    assert keys.shown.endswith("? keys")
    assert keys.geometry().right() <= head.width()
    title.setText("Pat")
    qtbot.waitUntil(lambda: title.width() < 100)
    assert keys.shown == KEYS


def test_a_long_name_leaves_the_date_behind_it(qtbot) -> None:
    label = ElidedLabel(f"{LONG['latin'].strip()} · 14 March 2026 · range bay", keeps_end=True)
    qtbot.addWidget(label)
    label.resize(label.fontMetrics().horizontalAdvance("Anneliese Anneliese … · 14 March 2026 · range bay"), 30)
    assert label.shown.startswith("Anneliese")
    assert label.shown.endswith("… · 14 March 2026 · range bay")
    label.setText("Pat Example · 14 March 2026")
    assert label.shown == label.text()
