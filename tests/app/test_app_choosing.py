"""Which swing and which measures come next: at the ends, round the end, never twice."""

from review.app.choosing import find_next_measures, find_next_swing, limit_stacked, stack_measures

A, B, C, D = (("a", ""), ("b", ""), ("c", "impact"), ("c", "top"))
KEYS = (A, B, C, D)


def test_a_swing_farther_along_stays_at_the_ends():
    ids = ["s1", "s2", "s3"]
    assert find_next_swing(ids, None, 1) == "s1"
    assert find_next_swing(ids, None, -1) == "s3"
    assert find_next_swing(ids, "s1", 1) == "s2"
    assert find_next_swing(ids, "s3", 1) == "s3"
    assert find_next_swing(ids, "gone", -1) == "s3"


def test_stacked_measures_follow_the_first_round_the_end():
    assert find_next_measures(KEYS, (A, B), 1) == (B, C)
    assert find_next_measures(KEYS, (A, B), -1) == (D, A)


def test_one_more_is_one_that_is_not_there_and_one_stays():
    assert stack_measures(KEYS, (D,), 1) == (D, A)
    assert stack_measures((A,), (A,), 1) == (A,)
    assert stack_measures(KEYS, (A, B), -1) == (A,)
    assert stack_measures(KEYS, (A,), -1) == (A,)
    assert limit_stacked((A, A, B, C, D)) == (A, B, C)
