"""What stays of a swing when its lesson is matched again; the swings are made by hand."""

from review.jobs.pairing.rematching import apply_said, join_rows, keep_known
from review.lesson import Batch, Clip, Said, Shot, Swing, SwingKind
from review.sync import SURE


def clip(id: str) -> Clip:
    return Clip(id, id, f"clips/{id}", f"{id}.mp4")


def shot(number: int) -> Shot:
    return Shot(f"r{number}", number, "t.csv")


def test_a_swing_keeps_its_id_when_a_camera_or_a_row_joins_and_clips_come_before_rows():
    before = [Swing("old", 1, clips=(clip("b"),), shot=shot(1), left_out="phone rang")]
    joined = keep_known([Swing("new", 1, clips=(clip("a"), clip("b")), shot=shot(2))], before, (), ())
    assert (joined[0].id, joined[0].left_out) == ("old", "phone rang")
    # the pair falls apart: the clip's swing stays, though the row comes first
    apart = keep_known([Swing("row", 1, shot=shot(1)), Swing("new", 2, clips=(clip("b"),))], before, (), ())
    assert [(s.id, s.left_out) for s in apart] == [("row", ""), ("old", "phone rang")]


def test_no_two_swings_ever_have_one_id():
    before = [Swing("x", 1, clips=(clip("a"), clip("b")))]
    apart = keep_known([Swing("y", 1, clips=(clip("b"),)), Swing("x", 2, clips=(clip("a"),))], before, (), ())
    assert len({s.id for s in apart}) == 2
    assert "x" in {s.id for s in apart}


def test_the_coachs_word_comes_before_the_clocks_and_unknown_batches_are_passed_over():
    batches = (Batch("b1", 1), Batch("b2", 2))
    said = (Said("a", "batch", "b1", "coach"), Said("a", "batch", "b2", "clock"), Said("r1", "kind", "drill"))
    filed = apply_said(Swing("s", 1, clips=(clip("a"),), shot=shot(1), batch_id="b2"), said, batches)
    assert (filed.batch_id, filed.kind) == ("b1", SwingKind.DRILL)
    assert apply_said(filed, (Said("a", "batch", "gone"),), batches).batch_id == "b1"


def test_rows_that_arrived_with_a_clip_join_it_unless_either_has_another():
    said = (Said("a", "row", "r1", "clock"), Said("b", "row", "r2", "clock"), Said("c", "row", "", "clock"))
    swings = (
        Swing("1", 1, shot=shot(1)),
        Swing("2", 2, clips=(clip("a"),)),
        Swing("3", 3, clips=(clip("b"),), pairing_source="coach"),
        Swing("4", 4, shot=shot(2)),
        Swing("5", 5, clips=(clip("c"),)),
    )
    joined = join_rows(swings, said)
    assert [(s.id, s.order, s.shot and s.shot.row_number) for s in joined] == [
        ("2", 1, 1),
        ("3", 2, None),
        ("4", 3, 2),
        ("5", 4, None),
    ]
    assert joined[0].pairing_probability == SURE
