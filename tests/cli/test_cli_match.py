"""What match prints: it fits the screen, tells why, explains with all evidence, asks with exit code 1."""

from dataclasses import replace

import pytest

from review.cli.match.explain import explain_swing
from review.cli.match.screen import show_matching
from review.errors import BadInputError
from review.jobs.pairing.matching import match_lesson
from review.lesson import Batch
from tests.made_lessons import as_kept, make_lesson


@pytest.fixture
def lesson():
    clips, shots, truth = as_kept(make_lesson(3))
    return clips, shots, truth, match_lesson(clips, shots, ())


def test_the_table_fits_and_has_every_swing(capsys, lesson):
    _, _, truth, matched = lesson
    show_matching(matched, ())
    lines = capsys.readouterr().out.splitlines()
    table = lines[: 1 + len(matched.swings)]
    assert max(map(len, table)) <= 80
    assert [int(line.split()[0]) for line in table[1:]] == list(range(1, len(matched.swings) + 1))
    practice = [line for line in table if line.endswith("practice, no row")]
    assert len(practice) == 4
    assert sum(line.endswith("no clip") for line in table) == 2
    assert lines[-1].startswith("The camera's clock is")
    assert lines[-1].endswith("the device's.")


def test_the_table_shows_the_batches(capsys, lesson):
    matched = lesson[3]
    swings = tuple(replace(s, batch_id="one" if s.order < 10 else "two") for s in matched.swings)
    show_matching(replace(matched, swings=swings), (Batch("one", 1), Batch("two", 2)))
    lines = capsys.readouterr().out.splitlines()[1 : 1 + len(swings)]
    assert [line.split()[1] for line in lines] == ["1" if s.order < 10 else "2" for s in swings]


def test_a_pair_is_explained(capsys, lesson):
    _, _, truth, matched = lesson
    swing = next(s for s in matched.swings if s.shot is not None and len(s.clips) == 2)
    explain_swing(matched, swing.order)
    text = capsys.readouterr().out
    assert f"Swing {swing.order} has row {swing.shot.row_number} of the table" in text
    for expected in (
        "You have said nothing about it",
        "A strike is heard",
        "by the camera's clock (known to 1 s)",
        "± ",
        "no row, or another",
    ):
        assert expected in text


def test_the_coachs_word_and_what_the_clocks_would_say(capsys, lesson):
    clips, shots, truth, before = lesson
    swing = next(s for s in before.swings if s.shot is not None and len(s.clips) == 1)
    matched = match_lesson(clips, shots, (), fixed={swing.clips[0].id: None})
    again = next(s for s in matched.swings if s.clips == swing.clips)
    explain_swing(matched, again.order)
    text = capsys.readouterr().out
    assert "You said: no row." in text
    assert "What the clocks alone say" in text
    assert f"99% row {swing.shot.row_number}" in text


def test_rivals_are_shown(capsys):
    clips, shots, _ = as_kept(make_lesson(8, gap_s=(39, 41), second_camera=0.0))
    matched = match_lesson(clips, shots, ())
    assert matched.questions
    show_matching(matched, ())
    text = capsys.readouterr().out
    assert "question below" in text
    assert "Question: Do swing" in text


def test_no_such_swing(lesson):
    with pytest.raises(BadInputError, match="There is no swing 99"):
        explain_swing(lesson[3], 99)
