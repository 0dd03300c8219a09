"""Visits in order: the interval since last time against SciPy's, whose change is meant, what is not put together."""

import math
from dataclasses import replace
from datetime import date, timedelta

import numpy as np
import pytest
from scipy import stats

from review.compare.over_visits import gather_visits, list_given
from review.compare.verdict import Verdict
from review.compare.visits import Held, judge_kept
from review.lesson import AimMeasure, Batch, Handedness, Lesson, Measure, Shot, Swing
from tests.made_visits import TrueVisit, play, rank

SPREAD = np.array([-1.1, -0.6, -0.1, 0.3, 0.6, 0.9])
PATH, HIPS = ("club_path_deg", ""), ("hip_turn_deg", "impact")


def _lesson(number, means, cues=(), clubs=(), closed=True):
    """A lesson of six shots a batch, each about its mean."""
    cues, clubs = cues or [""] * len(means), clubs or ["6-iron"] * len(means)
    batches = tuple(
        Batch(f"{number}-{n}", n, None, cue, "", club, closed)
        for n, (cue, club) in enumerate(zip(cues, clubs, strict=True), start=1)
    )
    swings = []
    for batch, mean in zip(batches, means, strict=True):
        for value in mean + SPREAD:
            order = len(swings) + 1
            shot = Shot(f"{number}.{order}", order, "t.csv", {"club_path_deg": float(value)}, club=batch.club)
            swings.append(Swing(f"{number}.{order}", order, shot=shot, batch_id=batch.id))
    lesson = Lesson(
        f"lesson {number}",
        "p",
        date(2024, 1, 1) + timedelta(days=100 * number),
        aim_measures=(AimMeasure("club_path_deg"), AimMeasure("hip_turn_deg", "impact")),
        repeatability=(("club_path_deg", 0.3), ("hip_turn_deg", 1.0)),
        batches=batches,
    )
    return lesson, tuple(swings)


def _visits(*lessons, body=None, key=PATH):
    return gather_visits(lessons, body or {}, key, Handedness.RIGHT)


def test_since_last_time_is_welchs_interval_as_scipy_has_it():
    first, second = _visits(_lesson(1, (6.0, 2.0)), _lesson(2, (3.1, 1.0)))
    test = stats.ttest_ind(3.1 + SPREAD, 2.0 + SPREAD, equal_var=False)
    interval = test.confidence_interval(0.95)
    assert first.since is None
    assert (second.since.since_low, second.since.since_high) == pytest.approx((interval.low, interval.high))
    assert second.since_of == first.lesson


def test_a_change_is_carried_over_visits_without_one():
    outcomes = [
        v.kept and v.kept.outcome
        for v in _visits(
            *(
                _lesson(n, (first, last))
                for n, (first, last) in enumerate([(6.0, 2.0), (2.1, 2.2), (6.1, 6.0), (6.0, 2.0), (4.1, 4.0)], start=1)
            )
        )
    ]
    assert outcomes == [None, Held.HELD, Held.CAME_BACK, Held.CAME_BACK, Held.PARTLY]


def test_a_likely_change_is_not_one_to_hold():
    visits = _visits(_lesson(1, (2.0, 1.2)), _lesson(2, (2.0, 1.9)))
    assert (visits[0].change.verdict, visits[1].kept) == (Verdict.LIKELY, None)
    visits = _visits(_lesson(1, (6.0, 2.0)), _lesson(2, (2.0, 1.2)), _lesson(3, (1.4, 1.3)))
    assert [v.change.verdict for v in visits] == [Verdict.CLEAR, Verdict.LIKELY, Verdict.CANT_TELL]
    assert visits[2].kept_of == visits[0].lesson


def test_a_small_clear_change_does_not_take_the_place_of_a_large_one():
    """One of half the size does."""
    for size, taken in ((1.8, 0), (2.2, 1)):
        visits = _visits(_lesson(1, (6.0, 2.0)), _lesson(2, (2.0, 2.0 - size)), _lesson(3, (1.0, 1.0)))
        assert visits[1].change.verdict is Verdict.CLEAR
        assert visits[2].kept_of == visits[taken].lesson


def test_a_number_of_the_body_keeps_the_error_of_two_set_ups():
    lessons, body = [_lesson(1, (6.0, 2.0)), _lesson(2, (6.0, 2.0))], {}
    for _, swings in lessons:
        for swing in swings:
            value = 20 + 7 * (swing.order > 6) + SPREAD[(swing.order - 1) % 6]
            body[swing.id] = (Measure("hip_turn_deg", float(value), "impact", own_sd=1.0, shared_sd=3.0, setup="cam"),)
    first, second = _visits(*lessons, body=body, key=HIPS)
    half = (second.since.since_high - second.since.since_low) / 2
    scatter = 2 * SPREAD.var(ddof=1) / 6
    assert half == pytest.approx(stats.norm.ppf(0.975) * math.sqrt(scatter + 2 * 3.0**2), rel=1e-3)
    inside = (first.change.high - first.change.low) / 2
    # inside a visit it falls out but for a fifth of the difference
    assert inside < 3 * math.sqrt(scatter + (0.2 * 7) ** 2) < half
    assert second.kept.outcome is Held.CANT_TELL
    assert "the camera stood differently; more balls will not tell" in second.kept.why
    for _, swings in lessons:  # a camera that errs little: now it is the scatter of few balls
        for swing in swings:
            (measure,) = body[swing.id]
            value = 20 + 7 * (swing.order > 6) + 10 * SPREAD[(swing.order - 1) % 6]
            body[swing.id] = (replace(measure, value=float(value), shared_sd=0.5),)
    samples = [one.sample for visit in _visits(*lessons, body=body, key=HIPS) for one in visit.batches]
    assert judge_kept(samples[0], samples[1], samples[2], was_change=True).why.endswith("more balls would tell")


def test_another_club_is_not_put_together():
    visits = _visits(_lesson(1, (6.0, 2.0)), _lesson(2, (6.0, 2.0), clubs=("driver", "driver")))
    assert visits[1].kept.outcome is Held.CANT_TELL
    assert "not the same club" in visits[1].kept.why
    assert any(warning.what == "club" for warning in visits[1].warnings)


@pytest.mark.parametrize("lesson", [_lesson(1, (6.0, 2.0), closed=False), _lesson(1, (6.0,)), _lesson(1, (2.0, 2.1))])
def test_without_a_verdict_there_is_nothing_to_hold(lesson):
    visits = _visits(lesson, _lesson(2, (5.0, 2.0)))
    assert visits[1].kept is None
    assert math.isfinite(visits[1].since.since_low)


def test_a_visit_without_the_measure_is_passed_over():
    empty = (_lesson(2, (1.0,))[0], ())
    assert len(_visits(_lesson(1, (6.0, 2.0)), empty, _lesson(3, (2.0, 2.0)))) == 2


def test_a_cue_counts_where_it_is_given_not_where_it_goes_on_or_the_club_changes():
    visits = _visits(
        _lesson(1, (6.0, 4.0, 3.0, 2.0), cues=("first", "belt", "belt", "slow")),
        _lesson(2, (5.0, 2.0), cues=("", "belt"), clubs=("6-iron", "driver")),
    )
    given, n_mixed = list_given(visits)
    assert [(g.cue, round(float(g.after.array.mean() - g.before.array.mean()), 6)) for g in given] == [
        ("belt", -3.0),
        ("slow", -1.0),
    ]
    assert n_mixed == 1


def test_a_change_that_comes_in_the_second_batch_with_a_cue_counts_for_it():
    """Up to the last batch in a row with the first one's club; what came after a club change is not the cue's."""
    visits = _visits(
        _lesson(
            1,
            (6.0, 6.0, 3.0, 0.0),
            cues=("", "belt", " Belt", "belt"),
            clubs=("6-iron", "6-iron", "6-iron", "driver"),
        )
    )
    given, _ = list_given(visits)
    assert [round(float(g.after.array.mean() - g.before.array.mean()), 6) for g in given] == [-3.0]


def test_over_the_years_what_is_said_is_mostly_so():
    """Eight visits with known truth, 20 pupils each; more in docs/history.md (tests/benchmarks/visits_of_years.py)."""
    random = np.random.default_rng(2)
    moved, after, gone = TrueVisit((0.0, 4.0)), TrueVisit((4.0, 4.0)), TrueVisit((0.0, 0.0))

    def share(visits, later):
        said = [v.kept and v.kept.outcome for _ in range(20) for v in play(visits, random)[later:]]
        return [said.count(held) / len(said) for held in (Held.HELD, Held.CAME_BACK)]

    held, came_back = share((moved, *(after,) * 7), 1)
    assert (held > 0.9, came_back < 0.03) == (True, True)
    held, came_back = share((moved, after, after, *(gone,) * 5), 3)
    assert (held < 0.03, came_back > 0.9) == (True, True)


def test_of_three_cues_the_one_that_moves_it_comes_first():
    random = np.random.default_rng(2)
    visit = TrueVisit((3.0, 3.0, 1.0, 1.0), ("quiet", "belt", "slow"))
    ranked = [rank(play((visit,) * 3, random), wanted=-1) for _ in range(30)]
    assert sum(cues[0].cue == "belt" for cues in ranked) >= 29
    holds = [cue.low <= -2.0 <= cue.high for cues in ranked for cue in cues if cue.cue == "belt"]
    assert np.mean(holds) > 0.88
