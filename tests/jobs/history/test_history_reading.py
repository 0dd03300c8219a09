"""A made-up pupil of five visits with known truth, read from a library: numbers, words, picture, before the lesson."""

import re
from datetime import date

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from review.compare.cues import CueGiven, rank_cues
from review.compare.over_visits import gather_visits, list_given
from review.compare.samples import Sample
from review.compare.visits import Held
from review.errors import BadInputError
from review.jobs.history import History, read_history
from review.jobs.history.before import read_before, say_before
from review.jobs.history.numbers import list_numbers
from review.jobs.history.searching import search_written
from review.jobs.history.words import say_cue, say_history
from review.jobs.lesson_file import parse_aim
from review.lesson import AimMeasure, Batch, Handedness, Lesson, Pupil, Shot, Swing
from review.library import Library
from tests.made_years import BELT, FIVE_VISITS, POCKET, add_years, make_years_library


@pytest.fixture(scope="module")
def library(tmp_path_factory):
    folder = make_years_library(tmp_path_factory.mktemp("years") / "library")
    with Library.open(folder) as opened:
        opened.update_pupil(Pupil("years", "Jonas Made-Up", Handedness.RIGHT, private_note="sore belt side"))
        yield opened


@pytest.fixture(scope="module")
def history(library):
    return read_history(library, "years")


def test_what_held_is_what_was_made(history):
    assert history.key == ("club_path_deg", "")
    outcomes = [None if visit.kept is None else visit.kept.outcome for visit in history.visits]
    assert outcomes == [None, Held.HELD, Held.CAME_BACK, Held.PARTLY, Held.HELD]
    assert history.visits[3].kept.share == pytest.approx(0.5, abs=0.2)
    assert [len(one.sample.values) for one in history.visits[0].batches] == [6, 6, 6]


def test_the_cue_that_moved_it_is_first(history):
    best = history.cues[0]
    assert (best.cue, best.n_given, best.feels[0], history.wanted) == (BELT, 3, POCKET, -1)
    assert best.low < -3 < best.high < 0


def test_the_long_run_forgets(history):
    """Every visit's beginning with its weight of (1 - 0.3)^age, written out."""
    began = [visit.batches[0].point.mean for visit in history.visits]
    last = 0.7**4 * began[0] + sum(0.3 * 0.7 ** (4 - n) * began[n] for n in range(1, 5))
    assert history.long_run[-1] == pytest.approx(last)


def test_another_measure_is_asked_for_by_its_words(library, history):
    hips = read_history(library, "years", parse_aim("hip turn at impact"))
    assert (hips.key, hips.keeps_shared_error, history.keeps_shared_error) == (("hip_turn_deg", "impact"), True, False)
    assert hips.choices[:2] == (("club_path_deg", ""), ("hip_turn_deg", "impact"))
    with pytest.raises(BadInputError, match="no carry in any lesson. There is: club path"):
        read_history(library, "years", parse_aim("carry"))


def test_a_pupil_without_numbers_is_told_so(tmp_path):
    with Library.open(tmp_path / "l") as library:
        library.add_pupil(Pupil("p", "New", Handedness.LEFT))
        with pytest.raises(BadInputError, match="No lesson of New has numbers yet"):
            read_history(library, "p")
        assert say_before(read_before(library, "p")).verdicts == ("No lesson yet.",)


def test_words_name_day_cue_feel_and_what_held(history):
    said = say_history(history)
    by_day = {visit.day: " ".join(visit.lines) for visit in said.visits}
    assert list(by_day) == [visit.held_on.isoformat() for visit in reversed(FIVE_VISITS)]
    third = by_day["2024-11-09"]
    assert re.search(
        r"At the start the old value was back: \d\.\d° in-to-out, as before the change of 2024-03-14", third
    )
    assert f"told “{BELT}”, felt “{POCKET}”" in third
    assert re.search(
        r"Came with \d\.\d° in-to-out, left with \d\.\d° in-to-out \(clear, \d\.\d° less in-to-out\)", third
    )
    assert re.search(r"held in part: about \d+ % of it was left \(\d+ to \d+\)", by_day["2025-04-20"])


def test_body_numbers_say_that_the_camera_stood_anew(library, history):
    assert "camera" not in " ".join(say_history(history).notes)
    hips = read_history(library, "years", parse_aim("hip turn at impact"))
    assert any("not set up the same way at each visit" in note for note in say_history(hips).notes)


def test_left_handers_read_their_own_words(tmp_path):
    """The same numbers are out-to-in for a left-hander: + is right of the target for both."""
    with Library.open(tmp_path / "l") as library:
        add_years(library, FIVE_VISITS[:1], Pupil("p", "Lefty", Handedness.LEFT))
        assert "out-to-in" in say_history(read_history(library, "p")).summary[0]


def test_numbers_are_those_of_the_library(history, library):
    numbers = list_numbers(history)
    values = [v for visit in numbers["visits"] for batch in visit["batches"] for v in batch["values"]]
    kept = [swing.shot.values["club_path_deg"] for held in library.taught("years") for swing in held.swings]
    assert values == kept
    assert numbers["visits"][2]["held"]["outcome"] == "came back"
    assert numbers["visits"][2]["held"]["of"] == "2024-03-14"


def test_before_the_lesson_in_a_minute(library):
    said = say_before(read_before(library, "years"))
    assert BELT in said.best
    assert said.look_first.startswith("Club path: At the start of the last visit what moved on")
    assert "The last batch ended at" in said.look_first
    n_words = sum(len(text.split()) for text in (said.title, *said.verdicts, said.best, said.look_first))
    assert n_words < 150, "read in under a minute at 200 words a minute"


def test_before_names_first_what_came_back(tmp_path):
    with Library.open(tmp_path / "l") as library:
        add_years(library, FIVE_VISITS[:3])
        before = read_before(library, "years")
        assert before.look_first.visits[-1].kept.outcome is Held.CAME_BACK
        assert "At the start of the last visit the old value was back: " in say_before(before).look_first


def test_before_tells_the_cue_of_what_to_look_at_first(library):
    """A cue of another measure comes after it, however surely that one moved."""
    before = read_before(library, "years")
    assert before.best[0] is before.look_first
    assert all(history is not before.look_first for history, _ in before.other_cues)
    said = say_before(before)
    assert said.best.endswith("(club path)")


def test_a_feel_is_told_with_its_own_count():
    """Given three times, felt once."""
    pair = [Sample((1.0, 2.0, 3.0), numbers=(1, 2, 3)), Sample((4.0, 5.0, 7.0), numbers=(1, 2, 3))]
    cue = rank_cues([CueGiven("turn", feel, "", *pair) for feel in ("", "pocket", "")])[0]
    assert (cue.n_given, cue.n_felt) == (3, 1)
    one = History(Pupil("p", "P", Handedness.RIGHT), ("club_path_deg", ""), (), (), (cue,), 0, 0, ())
    said = say_cue(one, cue)
    assert "felt “pocket” (1 of 3 times)" in said
    assert "that way 3 of 3 times" in said


def test_of_a_private_note_only_that_it_fits(library):
    found = search_written(library, "belt")
    assert [one.words for one in found if one.what == "private note"] == [""]
    assert sum(one.words == BELT for one in found) == 4


@settings(max_examples=25)
@given(
    st.lists(
        st.lists(st.lists(st.sampled_from([0.0, 2.0, 2.0, 1e9, -3.5, 1e-300]), max_size=4), max_size=3),
        min_size=1,
        max_size=4,
    )
)
def test_odd_lessons_are_said(visits):
    """Empty batches, single shots, values all alike, huge and tiny ones: words, never an error."""
    taught = []
    for number, batches in enumerate(visits, start=1):
        held = tuple(Batch(f"{number}-{n}", n, None, "cue" if n > 1 else "") for n in range(1, len(batches) + 1))
        swings = [
            Swing(
                f"{number}.{n}.{k}", 10 * n + k, shot=Shot(f"{n}.{k}", k + 1, "t", {"carry_yd": v}), batch_id=held[n].id
            )
            for n, values in enumerate(batches)
            for k, v in enumerate(values)
        ]
        aim = (AimMeasure("carry_yd"),)
        lesson = Lesson(
            f"{number}", "p", date(2020, number, 1), aim_measures=aim, repeatability=(("carry_yd", 1.0),), batches=held
        )
        taught.append((lesson, swings))
    found = gather_visits(taught, {}, ("carry_yd", ""), Handedness.RIGHT)
    given_cues, n_mixed = list_given(found)
    pupil = Pupil("p", "P", Handedness.RIGHT)
    history = History(pupil, ("carry_yd", ""), (), found, rank_cues(given_cues), 0, n_mixed, ())
    said = say_history(history)
    assert len(said.visits) == len(found)
