"""What the take-home says where there is little to say."""

import base64
import re
from contextlib import suppress
from datetime import date
from pathlib import Path

import pytest

from review.compare import Sample, compare_samples
from review.errors import BadInputError, Cancelled, MachineError
from review.jobs.adding import add_lesson
from review.jobs.handing_out import HandOutWish, hand_out
from review.jobs.handing_out import lesson as handing_out
from review.jobs.handing_out.lesson import hand_out_apart
from review.jobs.handing_out.noting import BEGUN, noted
from review.jobs.handing_out.numbers import make_row
from review.jobs.lesson_file import read_lesson_file
from review.jobs.sample import find_sample_lesson
from review.lesson import Handedness, Lesson, Pupil
from review.library import Library


@pytest.mark.parametrize(("n_first", "n_last"), [(1, 3), (3, 1), (1, 1)])
def test_a_batch_of_one_swing_shows_its_number_and_no_change(n_first: int, n_last: int) -> None:
    first, last = Sample((6.0, 5.0, 7.0)[:n_first]), Sample((2.0, 1.0, 3.0)[:n_last])
    compared = compare_samples("club_path_deg", first, last, repeatability=0.5, batches_closed=True, in_aim=True)
    row = make_row(compared, Pupil("p", "Test", Handedness.RIGHT))
    assert row.first_words == "6.0° in-to-out"
    assert row.last_words == "2.0° in-to-out"
    assert (row.change_words, row.interval_words) == ("", "")
    assert "tells nothing yet" in row.verdict_words


def test_a_change_that_errors_of_reading_can_make_says_so_and_shows_no_range_that_denies_it() -> None:
    first, last = Sample((2.45, 2.5, 2.5, 2.55, 2.6, 2.55)), Sample((4.1, 4.15, 4.2, 4.2, 4.15))
    compared = compare_samples("trail_heel_lift_cm", first, last, repeatability=1.5, batches_closed=True, in_aim=True)
    assert compared.low > 0  # chance among the swings alone does not explain it
    row = make_row(compared, Pupil("p", "Test", Handedness.RIGHT))
    assert row.verdict_words == "can't tell yet"
    assert re.fullmatch(r"A change under \d\.\d\d cm can come from measuring alone\.", row.why_words)
    assert row.interval_words == ""


def test_a_row_shows_the_digits_of_its_unit_and_says_about_where_rounding_parts_them() -> None:
    first, last = Sample((2.52, 2.53, 2.52)), Sample((4.16, 4.15, 4.17))
    compared = compare_samples("trail_heel_lift_cm", first, last, repeatability=0.1, batches_closed=True, in_aim=True)
    row = make_row(compared, Pupil("p", "Test", Handedness.RIGHT))
    assert (row.first_words, row.last_words, row.change_words) == ("2.5 cm up", "4.2 cm up", "about 1.6 cm higher")
    assert row.why_words == ""


def test_before_measuring_it_says_so_and_what_to_do(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        done = hand_out(library, lesson, tmp_path / "out")
        kept = library._execute("SELECT why FROM kept_swing").fetchall()
        assert [row["why"] for row in kept] == ["take-home"] * 2  # thinning leaves what the pupil was given
    assert any("not measured yet" in note and "lesson-review measure" in note for note in done.notes)
    page = done.page.read_text(encoding="utf-8")
    assert "Clips side by side." in page
    assert "lesson-review" not in page  # what the coach has to do is not for the pupil to read


def test_the_page_shows_flight_and_strike_without_a_name(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        name = library.pupil(lesson.pupil_id).name
        page = hand_out(library, lesson, tmp_path / "out").page.read_text(encoding="utf-8")
    pictures = [base64.b64decode(found).decode() for found in re.findall(r"image/svg\+xml;base64,([^\"]+)", page)]
    # before measuring only the device's measure of the aim has its shots side by side; each dark first, then light
    assert len(pictures) == 6
    assert all(name.split()[0] not in picture for picture in pictures)
    pictures = pictures[1::2]
    strip = pictures.pop(0)
    assert 'id="difference-interval' in strip
    assert "95%" not in strip  # the page says it in the pupil's words
    assert "there may be no change at all" in page
    assert "Club path: every shot of batches 1 and 3; 4.0° less in-to-out" in page
    assert 'id="landings-' in pictures[0]
    assert "Flight of the balls: batch 1: 3 push draw" in page


def test_cancelled_apart_it_leaves_nothing(tmp_path):
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        lesson_id = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson.id

    def stop_once_begun(done, total):
        if list(tmp_path.glob(".out.part-*")):
            raise Cancelled("Stopped.")

    with pytest.raises(Cancelled):
        hand_out_apart(folder, lesson_id, tmp_path / "out", HandOutWish(), stop_once_begun)
    assert sorted(path.name for path in tmp_path.iterdir()) == ["library"]
    with Library.open(folder) as library:
        assert library.handouts(library.lesson(lesson_id).pupil_id) == ()


def test_an_interrupted_hand_over_is_not_silently_missing(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(Pupil("p", "Pat", Handedness.RIGHT))
        library.add_lesson(Lesson("l", "p", date(2026, 3, 14)))

        def write(error: BaseException | None) -> list[str]:
            with suppress(type(error) if error else ()), noted(library, "l", "take-home in out", "Pat") as better:
                # already there while it is written
                assert library.handouts("p")[-1].startswith(f"take-home in out ({BEGUN}), to Pat on ")
                if error:
                    raise error
                better.append("take-home in out, faces covered")
            return [words.rpartition(", to")[0] for words in library.handouts("p")]

        assert write(Cancelled("Stopped.")) == []
        assert write(BadInputError("The folder holds something else.")) == []
        assert write(KeyboardInterrupt()) == [f"take-home in out ({BEGUN})"]
        assert write(None) == [f"take-home in out ({BEGUN})", "take-home in out, faces covered"]


def test_a_full_disk_leaves_neither_a_note_nor_swings_kept_for_good(tmp_path: Path, monkeypatch) -> None:
    def fail(*given):
        raise MachineError("The disk is full.")

    monkeypatch.setattr(handing_out, "write_takehome", fail)
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        with pytest.raises(MachineError):
            hand_out(library, lesson, tmp_path / "out")
        assert library._execute("SELECT * FROM kept_swing").fetchall() == []
        assert library.handouts(lesson.pupil_id) == ()


def test_what_does_not_appear_in_one_step_stays_noted_when_it_fails(tmp_path: Path) -> None:
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        with pytest.raises(MachineError), noted(library, lesson.id, "talks", "Pat", in_one_step=False):
            raise MachineError("The disk is full.")
        assert any(BEGUN in line for line in library.handouts(lesson.pupil_id))
