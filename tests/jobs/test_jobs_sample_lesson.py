"""The sample lesson through add and match, against its truth; the rest of the main job on a part of it."""

import json
import shutil
import tomllib
from dataclasses import replace
from pathlib import Path

import pytest

from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.comparing import compare_lesson
from review.jobs.handing_out import hand_out
from review.jobs.lesson_file import read_lesson_file
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.measuring.whole_lesson import choose_common_views, measure_lesson
from review.jobs.pairing.rematching import rematch_lesson
from review.lesson import Handedness, Purpose, SwingKind, View
from review.library import Library
from review.pose import Effort
from tests.framed_by_hand import frame_by_hand

SAMPLE = Path(__file__).parents[2] / "sample_clips"
TRUTH = json.loads((SAMPLE / "truth.json").read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def added(tmp_path_factory):
    with Library.open(tmp_path_factory.mktemp("sample") / "library") as library:
        yield library, add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml"))


def test_every_swing_gets_its_row_or_rightly_none(added):
    library, done = added
    row_of_clip = {
        clip.original_name: None if swing.shot is None else swing.shot.row_number
        for swing in library.swings(done.lesson.id)
        for clip in swing.clips
    }
    assert row_of_clip == {Path(c["file"]).name: c.get("row") for c in TRUTH["clips"]}
    assert not done.matched.questions


def test_swings_without_clip_or_row_and_practice_are_told_apart(added):
    library, done = added
    swings = library.swings(done.lesson.id)
    assert [s.order for s in swings if not s.clips] == [8]  # shot 8 has no clip
    practice = [s for s in swings if s.kind is SwingKind.PRACTICE]
    assert [c.original_name for s in practice for c in s.clips] == ["20260314_102438.mp4"]
    no_row = [s for s in swings if s.shot is None and s.kind is SwingKind.SHOT]
    assert [c.original_name for s in no_row for c in s.clips] == ["20260314_102911.mp4"]


def test_strikes_are_heard_within_a_quarter_of_a_frame(added):
    library, done = added
    true = {Path(c["file"]).name: c for c in TRUTH["clips"]}
    for clip in library.clips(done.lesson.id):
        truth = true[clip.original_name]
        if truth["strike_click"]:
            assert clip.strike_s == pytest.approx(truth["impact_in_clip_s"], abs=0.25 / 60)
        else:
            assert clip.strike_s is None


def test_the_clocks_difference_is_found(added):
    # whole seconds on both clocks: a second of doubt on each side, narrowed by 15 pairs
    assert added[1].matched.clock_offset_s == pytest.approx(TRUTH["clock"]["camera_minus_device_s"], abs=0.5)


def test_batches_and_traces_hang_on_their_swings(added):
    library, done = added
    lesson = library.lesson(done.lesson.id)
    numbers = {batch.id: batch.number for batch in lesson.batches}
    by_name = {Path(c["file"]).name: c["batch"] for c in TRUTH["clips"] if not c["practice_swing"]}
    for swing in library.swings(lesson.id):
        for clip in swing.clips:
            if clip.original_name in by_name:
                assert numbers[swing.batch_id] == by_name[clip.original_name]
        assert (swing.trace is not None) == (swing.kind is SwingKind.SHOT)


def test_adding_again_adds_nothing(added):
    library, done = added
    again = add_lesson(library, read_lesson_file(SAMPLE / "lesson.toml"))
    assert (again.n_new_clips, again.n_new_shots) == (0, 0)
    assert [s.id for s in again.matched.swings] == [s.id for s in done.matched.swings]


def test_the_coachs_correction_is_kept_for_good(tmp_path):
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    with Library.open(tmp_path / "library") as library:
        lesson = library.lesson(add_lesson(library, plan).lesson.id)
        swing = next(s for s in library.swings(lesson.id) if s.order == 5)
        rematch_lesson(library, lesson, {clip.id: None for clip in swing.clips})
        add_lesson(library, plan)
        after = next(s for s in library.swings(lesson.id) if s.id == swing.id)
        assert after.shot is None
        assert len(library.shots(lesson.id)) == 15


def test_a_table_of_another_lesson_changes_nothing(tmp_path):
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    foreign = tmp_path / "foreign.csv"
    times = [f"{9 + i // 40:02d}:{(i * 97) % 60:02d}:{(i * 31) % 60:02d}" for i in range(12)]
    foreign.write_text("time,club path [deg]\n" + "".join(f"{t},{i}.0\n" for i, t in enumerate(sorted(times))))
    with Library.open(tmp_path / "library") as library:
        with pytest.raises(BadInputError, match="does not belong to these clips"):
            add_lesson(library, replace(plan, shots=foreign))
        assert library.pupils() == ()
        assert not list((tmp_path / "library" / "clips").iterdir())


def test_one_bad_clip_stops_the_whole_and_is_named(tmp_path):
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    broken = tmp_path / "20260314_101518.mp4"
    broken.write_bytes(plan.clips[0].read_bytes()[:10_000])
    with Library.open(tmp_path / "library") as library:
        with pytest.raises(BadInputError, match=r"20260314_101518\.mp4[\s\S]*Nothing was added"):
            add_lesson(library, replace(plan, clips=(broken, *plan.clips[1:3])))
        assert library.pupils() == ()


def small_sample(folder: Path) -> Path:
    """Four swings of the sample lesson, two of the first batch and two of the last."""
    sample = folder / "sample"
    (sample / "clips").mkdir(parents=True)
    for name in ("20260314_101518", "20260314_101622", "20260314_102702", "20260314_103110"):
        shutil.copy(SAMPLE / "clips" / f"{name}.mp4", sample / "clips")
    for name in ("lesson.toml", "shots.csv", "pressure.csv"):
        shutil.copy(SAMPLE / name, sample)
    return sample / "lesson.toml"


def test_the_main_job_from_end_to_end(tmp_path):
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, read_lesson_file(small_sample(tmp_path)))
        lesson = library.lesson(done.lesson.id)
        measured = measure_lesson(library, lesson, Effort.QUICK)
        assert (measured.n_measured, measured.n_new) == (4, 4)
        assert measure_lesson(library, lesson, Effort.QUICK).n_new == 0
        assert {clip.time_scale for clip in library.clips(lesson.id)} == {1.0}
        # plausible, no more: 53-55 degrees at the top in the mean of golfers (McTeigue et al. 1994)
        hips_at_top = [
            m.value
            for measures in library.measures(lesson.id).values()
            for m in measures
            if (m.name, m.key_frame) == ("hip_turn_deg", "top")
        ]
        assert len(hips_at_top) == 4
        assert all(-75 <= turn <= -15 for turn in hips_at_top)

        compared = compare_lesson(library, lesson)
        aim = {(c.name, c.key_frame): c for c in compared.comparisons if c.in_aim}
        path = aim["club_path_deg", ""]
        # six rows of the first batch, five of the last: means of the table itself
        assert (path.mean_first, path.mean_last) == pytest.approx((5.9167, 1.94), abs=0.001)
        hips = aim["hip_turn_deg", "impact"]
        true = {1: [], 3: []}
        for clip in TRUTH["clips"]:
            if Path(clip["file"]).stem in ("20260314_101518", "20260314_101622", "20260314_102702", "20260314_103110"):
                true[clip["batch"]].append(clip["hip_turn_deg"]["impact"] - clip["hip_turn_deg"]["address"])
        change = sum(true[3]) / 2 - sum(true[1]) / 2
        # single swings of this player scatter by about 2 degrees around a shared error (docs/accuracy.md)
        assert hips.difference == pytest.approx(change, abs=6.0)

        handed = hand_out(library, lesson, tmp_path / "out")
        names = {p.name for p in (tmp_path / "out").iterdir()}
        assert {"index.html", "sheet.pdf", "measures.csv", "01-face-on-first-and-last.mp4"} <= names
        assert handed.page.is_file()
        assert library.handouts(done.pupil.id)

        clip = library.clips(lesson.id)[0]
        assert load_landmarks(library, clip, Handedness.RIGHT) is not None
        forgotten = library.forget_pupil(done.pupil.id)
        assert forgotten.n_clips == 4
        assert forgotten.out_of_reach
        left = b"".join(p.read_bytes() for p in (tmp_path / "library").rglob("*") if p.is_file())
        assert b"Calder" not in left
        assert not list((tmp_path / "library" / "clips").iterdir())


def test_nothing_is_measured_or_handed_out_without_consent(tmp_path):
    plan = read_lesson_file(small_sample(tmp_path))
    silent = replace(plan, pupil=replace(plan.pupil, consent=None))
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, silent)
        assert any("not on record" in note for note in done.notes)
        lesson = library.lesson(done.lesson.id)
        with pytest.raises(BadInputError, match="has not agreed to be measured"):
            measure_lesson(library, lesson, Effort.QUICK)
        with pytest.raises(BadInputError, match="without consent to share"):
            hand_out(library, lesson, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_minors_consent_must_come_from_the_guardian():
    plan = read_lesson_file(SAMPLE / "lesson.toml")
    consent = plan.pupil.consent
    from review.lesson import Pupil

    child = Pupil("1", "Child", Handedness.RIGHT, consent=consent, is_minor=True, guardian="Parent")
    assert not child.allows(Purpose.SHARE, plan.held_on)
    assert replace(child, consent=replace(consent, given_by="Parent")).allows(Purpose.SHARE, plan.held_on)


def test_common_views():
    face, behind = View.FACE_ON, View.DOWN_THE_LINE
    assert choose_common_views([{face, behind}, {face}]) == {face}
    assert choose_common_views([{face, behind}, {behind}]) == {behind}
    assert choose_common_views([{face, behind}, {face, behind}]) == {face, behind}
    assert choose_common_views([{face}, {behind}]) == {face}


def test_the_sample_lesson_file_is_whole():
    data = tomllib.loads((SAMPLE / "lesson.toml").read_text(encoding="utf-8"))
    assert len(data["batch"]) == 3
    assert len(read_lesson_file(SAMPLE / "lesson.toml").clips) == 20


def test_the_same_files_in_another_pupils_lesson_and_without_the_trace(tmp_path):
    plan = read_lesson_file(small_sample(tmp_path))
    with Library.open(tmp_path / "library") as library:
        first = add_lesson(library, plan)
        add_lesson(library, replace(plan, pupil=replace(plan.pupil, name="Another Person")))
        assert len(library.pupils()) == 2
        add_lesson(library, replace(plan, pressure=None, check_alone="with a friend", practice=()))
        lesson = library.lesson(first.lesson.id)
        # what the new request says counts, what it leaves out stays
        assert (lesson.check_alone, lesson.practice_plan) == ("with a friend", plan.practice)
        assert any(swing.trace is not None for swing in library.swings(first.lesson.id))


def test_bounds_and_signs_in_the_table_and_the_batch_of_a_middle_swing(tmp_path):
    from review.jobs.handing_out.pairs import choose_pairs
    from review.jobs.handing_out.privacy import Privacy
    from review.jobs.handing_out.swings_table import _csv_cells
    from review.lesson import Bound, Handedness, Measure

    bound = Measure("shoulder_turn_deg", -75.0, "top", bound=Bound.AT_LEAST)
    ((head, cell),) = _csv_cells(bound, Handedness.RIGHT).items()
    assert "+ open, - turned away" in head
    assert "or more" in str(cell)
    exact = _csv_cells(Measure("hip_turn_deg", 20.04, "impact", low=10.0, high=30.0), Handedness.RIGHT)
    assert list(exact.values()) == [20.0, 10.0, 30.0]
    near = _csv_cells(Measure("shoulder_turn_deg", -98.0, "top", low=-108.0, high=-88.0), Handedness.RIGHT)
    assert list(near.values()) == [-98.0, "turned away about 105° or more", -88.0]

    small_sample(tmp_path)
    middle = SAMPLE / "clips" / "20260314_102235.mp4"
    shutil.copy(middle, tmp_path / "sample" / "clips")
    with Library.open(tmp_path / "library") as library:
        plan = read_lesson_file(tmp_path / "sample" / "lesson.toml")
        lesson = library.lesson(add_lesson(library, plan).lesson.id)
        frame_by_hand(library, lesson)
        swings = library.swings(lesson.id)
        first = next(s.order for s in swings if s.clips)
        second = next(s.order for s in swings for c in s.clips if c.original_name == middle.name)
        privacy = Privacy(library.pupil(lesson.pupil_id), False, False, "Test", True)
        pairs, notes, _ = choose_pairs(library, compare_lesson(library, lesson), [(first, second)], privacy)
        assert [side.batch_number for side in (pairs[0].first, pairs[0].last)] == [1, 2]
        assert not notes
