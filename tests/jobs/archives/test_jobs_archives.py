"""A lesson packed and read in by another library: the same, once, whole, and nothing private."""

import json
import zipfile
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from packed_lessons import ALL, SECRET, fill, make_pupil

from review.errors import BadInputError
from review.jobs.archives.packing import pack_lesson
from review.jobs.archives.unpacking import Outcome, unpack_lesson
from review.jobs.comparing import compare_lesson
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.lesson import Handedness, KeyFrame, Purpose
from review.library import Library


@pytest.fixture
def home(tmp_path: Path) -> Library:
    library = Library.open(tmp_path / "home")
    fill(library, tmp_path / "films")
    return library


@pytest.fixture
def away(tmp_path: Path) -> Library:
    return Library.open(tmp_path / "away")


def pack(home: Library, to: Path) -> Path:
    pack_lesson(home, home.lesson("l1"), to)
    return to


def names_and_hashes(path: Path) -> dict[str, int]:
    with zipfile.ZipFile(path) as packed:
        return {part.filename: part.CRC for part in packed.infolist()}


def test_a_lesson_comes_over_whole_and_packs_to_the_same_bytes(tmp_path: Path, home: Library, away: Library) -> None:
    first = pack(home, tmp_path / "a.zip")
    done = unpack_lesson(away, first)
    assert (done.outcome, done.n_clips, done.n_landmarks, done.is_new_pupil) == (Outcome.ADDED, 6, 6, True)
    assert replace(home.pupil("p1"), private_note="") == away.pupil("p1")
    assert away.lesson("l1") == home.lesson("l1")
    assert away.rows_of_lesson("l1") == home.rows_of_lesson("l1")
    assert str(compare_lesson(away, away.lesson("l1")).comparisons) == str(
        compare_lesson(home, home.lesson("l1")).comparisons
    )
    for clip in away.clips("l1"):
        assert away.path_of(clip).read_bytes() == home.path_of(clip).read_bytes()
        ours, theirs = (load_landmarks(one, clip, Handedness.LEFT) for one in (home, away))
        assert ours is not None
        assert theirs is not None
        np.testing.assert_array_equal(ours[0].image_px, theirs[0].image_px)
    assert len(away.voices("l1")) == 2
    assert away._execute("SELECT COUNT(*) FROM stored").fetchone()[0] == 0
    assert pack(away, tmp_path / "b.zip").read_bytes() == first.read_bytes()
    away.close()
    with Library.open(tmp_path / "away") as again:  # what opening sweeps takes nothing of it
        assert again.rows_of_lesson("l1") == home.rows_of_lesson("l1")
        assert all(again.path_of_voice(voice).is_file() for voice in again.voices("l1").values())


def test_private_notes_and_this_computers_folders_stay(tmp_path: Path, home: Library) -> None:
    home.set_key_frames("c1", [KeyFrame("own word", 0.3, 3, 1.0, "coach", SECRET)])
    with zipfile.ZipFile(pack(home, tmp_path / "a.zip")) as packed:
        content = b"".join(packed.read(name) for name in packed.namelist())
    assert SECRET.encode() not in content
    assert str(tmp_path).encode() not in content
    assert home.handouts("p1")[0].startswith("whole lesson in a.zip, to ")


@pytest.mark.parametrize(
    ("lacking", "expected"),
    [
        (None, {"measure": 12, "voice": 2, "said": 2, "voices": 2, "landmarks": 6}),
        (Purpose.VOICE, {"measure": 12, "voice": 1, "said": 1, "voices": 1, "landmarks": 6}),
        (Purpose.MEASURE, {"measure": 0, "voice": 2, "said": 2, "voices": 2, "landmarks": 0}),
    ],
)
def test_what_consent_does_not_cover_stays(
    tmp_path: Path, home: Library, lacking: Purpose | None, expected: dict[str, int]
) -> None:
    home.update_pupil(make_pupil(consented=ALL - {lacking}))
    with zipfile.ZipFile(pack(home, tmp_path / "a.zip")) as packed:
        found = {name: len(json.loads(packed.read(f"rows/{name}.json"))) for name in ("measure", "voice", "said")}
        names = packed.namelist()
    found["voices"] = sum(name.startswith("voice/") for name in names)
    found["landmarks"] = sum(name.startswith("landmarks/") for name in names)
    assert found == expected


def test_without_consent_to_share_and_of_a_minor_nothing_is_packed(tmp_path: Path, home: Library) -> None:
    home.update_pupil(make_pupil(consented=ALL - {Purpose.SHARE}))
    with pytest.raises(BadInputError, match="consent to share"):
        pack(home, tmp_path / "a.zip")
    minor = replace(make_pupil(), is_minor=True, guardian=make_pupil().name)
    home.update_pupil(minor)
    with pytest.raises(BadInputError, match="--with-face-and-name"):
        pack(home, tmp_path / "a.zip")
    assert list(tmp_path.glob("*.zip*")) == []
    assert pack_lesson(home, home.lesson("l1"), tmp_path / "a.zip", with_minors_face=True).for_whom == minor.guardian


def test_a_voice_that_was_taken_off_does_not_travel(tmp_path: Path, home: Library) -> None:
    home._execute("DELETE FROM said WHERE value = 'v-cue'")
    with zipfile.ZipFile(pack(home, tmp_path / "a.zip")) as packed:
        assert [row["id"] for row in json.loads(packed.read("rows/voice.json"))] == ["v-feel"]


def test_the_same_twice_is_told_and_a_changed_lesson_is_not_overwritten(
    tmp_path: Path, home: Library, away: Library
) -> None:
    path = pack(home, tmp_path / "a.zip")
    unpack_lesson(away, path)
    before = away.rows_of_lesson("l1")
    assert unpack_lesson(away, path).outcome is Outcome.THERE
    assert away.rows_of_lesson("l1") == before
    for made in (tmp_path / "away" / "derived").rglob("*.npz"):
        made.unlink()
    assert unpack_lesson(away, path).n_landmarks == 6  # as after a run killed before it brought them
    away.update_lesson(replace(away.lesson("l1"), aim="another aim"))
    assert unpack_lesson(away, path).outcome is Outcome.THERE_OTHERWISE
    assert away.lesson("l1").aim == "another aim"
    assert len(away.lessons()) == 1


def test_the_same_name_is_asked_about(tmp_path: Path, home: Library, away: Library) -> None:
    path = pack(home, tmp_path / "a.zip")
    known = replace(make_pupil("other", "ÄNNE  <b>O'Neil</b>"), consent=None, private_note="mine")
    away.add_pupil(known)
    asked = unpack_lesson(away, path)
    assert asked.outcome is Outcome.WHOSE
    assert away.lessons() == ()
    assert list((tmp_path / "away" / "clips").iterdir()) == []
    with pytest.raises(BadInputError, match="already"):
        unpack_lesson(away, path, name=known.name)
    with pytest.raises(BadInputError, match="no one pupil"):
        unpack_lesson(away, path, into="Nobody")
    done = unpack_lesson(away, path, into=known.name)
    assert done.outcome is Outcome.ADDED
    assert not done.is_new_pupil
    assert away.pupils() == (known,)  # what is on record here stays
    assert [lesson.pupil_id for lesson in away.lessons()] == ["other"]
    assert any("On record here stays: none" in note for note in done.notes)


def test_another_person_of_that_name_gets_another(tmp_path: Path, home: Library, away: Library) -> None:
    path = pack(home, tmp_path / "a.zip")
    away.add_pupil(make_pupil("other"))
    done = unpack_lesson(away, path, name="Änne from the club")
    assert done.is_new_pupil
    assert {pupil.name for pupil in away.pupils()} == {make_pupil().name, "Änne from the club"}
    assert away.pupil("p1").consent == home.pupil("p1").consent


def test_a_pupil_of_the_other_hand_is_refused(tmp_path: Path, home: Library, away: Library) -> None:
    path = pack(home, tmp_path / "a.zip")
    away.add_pupil(replace(make_pupil(), handedness=Handedness.RIGHT))
    with pytest.raises(BadInputError, match="right-handed here"):
        unpack_lesson(away, path)
    assert away.lessons() == ()


def test_part_of_the_lesson_in_another_is_refused(tmp_path: Path, home: Library, away: Library) -> None:
    path = pack(home, tmp_path / "a.zip")
    away.add_pupil(make_pupil())
    away.add_lesson(replace(home.lesson("l1"), id="l2"))
    with pytest.raises(BadInputError, match="batch of this lesson is in another lesson"):
        unpack_lesson(away, path)
    assert [lesson.id for lesson in away.lessons()] == ["l2"]


def test_only_an_archive_of_the_same_lesson_is_replaced(tmp_path: Path, home: Library) -> None:
    mine = tmp_path / "a.zip"
    mine.write_text("my own", encoding="utf-8")
    with pytest.raises(BadInputError, match="there already"):
        pack(home, mine)
    assert mine.read_text(encoding="utf-8") == "my own"
    mine.unlink()
    assert names_and_hashes(pack(home, mine)) == names_and_hashes(pack(home, mine))


def test_a_film_that_shows_another_pupil_is_not_given_away(tmp_path: Path, home: Library) -> None:
    home.add_pupil(make_pupil("p2", "Somebody Else"))
    home.add_lesson(replace(home.lesson("l1"), id="l2", pupil_id="p2", batches=()))
    home.add_clip("l2", replace(home.clips("l1")[0], id="theirs"))
    with pytest.raises(BadInputError, match="another pupil's lesson too"):
        pack(home, tmp_path / "a.zip")
    assert not (tmp_path / "a.zip").exists()


def test_a_gone_clip_leaves_the_earlier_archive(tmp_path: Path, home: Library) -> None:
    before = pack(home, tmp_path / "a.zip").read_bytes()
    home.path_of(home.clips("l1")[2]).unlink()
    with pytest.raises(BadInputError, match="gone"):
        pack(home, tmp_path / "a.zip")
    assert (tmp_path / "a.zip").read_bytes() == before
    assert [path.name for path in tmp_path.glob(".*")] == []
