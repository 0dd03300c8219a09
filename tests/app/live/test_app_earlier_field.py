"""What a field offers, and what it keeps to itself while the pupil looks on."""

from PyQt5.QtCore import Qt

from review.app.live.earlier_field import EarlierField


def test_earlier_words_come_by_a_key_only(qtbot):
    field = EarlierField()
    qtbot.addWidget(field)
    field.offer(["turn the lead hip", "wait at the top"])
    assert "turn" not in field.placeholderText()
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.text() == "turn the lead hip"
    field.offer(["7 iron"], is_shown=True)
    assert "7 iron" in field.placeholderText()
    field.offer([])
    assert field.placeholderText() == ""


def test_no_name_before_its_first_letter(qtbot):
    field = EarlierField(after_typing=True)
    qtbot.addWidget(field)
    field.offer(["Pat Example", "Kim Sample"])
    assert field.placeholderText() == ""
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.text() == ""
    qtbot.keyClicks(field, "k")
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.text() == "Kim Sample"


def test_a_list_sets_its_commas_by_itself(qtbot):
    field = EarlierField(is_list=True)
    qtbot.addWidget(field)
    field.offer(["Club path", "Club speed", "Hip turn at impact"])
    qtbot.keyClick(field, Qt.Key.Key_Down)
    qtbot.keyClicks(field, "hip")
    assert field.text() == "Club path, hip"
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.text() == "Club path, Hip turn at impact"
    qtbot.keyClicks(field, " club s")
    qtbot.keyClick(field, Qt.Key.Key_Down)
    assert field.text() == "Club path, Hip turn at impact, Club speed"
    qtbot.keyClicks(field, ", c")
    assert field.text() == "Club path, Hip turn at impact, Club speed, c"
