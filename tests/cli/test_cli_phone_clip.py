"""``phone-clip``: a clip beside the last batch, what cannot be told said, nothing kept."""

import json
from dataclasses import replace
from datetime import date

import pytest

from review.cli.main import main
from review.jobs.measuring import one_swing
from review.lesson import Consent, Purpose
from review.library import Library
from tests.jobs.resounded import clip_path, landmarks
from tests.made_years import make_years_library

CLIP = clip_path("face_on")


@pytest.fixture(scope="module")
def home(tmp_path_factory):
    return make_years_library(tmp_path_factory.mktemp("phone") / "library")


@pytest.fixture
def agreed(home):
    with Library.open(home) as library:
        pupil = library.pupil("years")
        library.update_pupil(replace(pupil, consent=Consent(pupil.name, date(2024, 1, 1), frozenset(Purpose))))
    yield home
    with Library.open(home) as library:
        library.update_pupil(pupil)


def _files(home):
    return {path: path.stat().st_size for path in home.rglob("*") if path.is_file() and "library.db" not in path.name}


def test_a_clip_is_put_beside_the_last_batch_and_nothing_kept(agreed, tmp_path, capsys, monkeypatch):
    # detecting takes long; these are the landmarks of this clip
    monkeypatch.setattr(one_swing, "track_clips", lambda *_: ({"0": landmarks("face_on")}, {}))
    before, out, picture = _files(agreed), tmp_path / "phone.json", tmp_path / "phone.svg"
    files = ["--json", str(out), "--picture", str(picture)]
    assert main(["phone-clip", "jonas", str(CLIP), "--quick", *files, "--library", str(agreed)]) == 0
    said = capsys.readouterr().out
    assert "beside batch 2 of 2026-02-08" in said
    assert "Hip turn at impact: " in said
    assert "What no camera gives: club path, club speed." in said
    assert "the phone was not set up as the lesson's camera" in said
    assert "it is one swing, and one that the pupil chose" in said
    numbers = json.loads(out.read_text(encoding="utf-8"))
    (hips,) = numbers["measures"]
    assert hips["n"] == 6
    assert hips["low"] < hips["mean"] < hips["high"]
    # the errors of two camera set-ups of 4 degrees and more are in it
    assert hips["high"] - hips["low"] > 4 * 4
    assert "where one more swing of it would read" in picture.read_text(encoding="utf-8")
    assert _files(agreed) == before
    with Library.open(agreed) as library:
        assert all(not library.clips(lesson.id) for lesson in library.lessons("years"))


def test_without_consent_nothing_is_measured(home, capsys):
    assert main(["phone-clip", "jonas", str(CLIP), "--quick", "--library", str(home)]) == 2
    assert "has not agreed to be measured on video" in capsys.readouterr().err


def test_what_is_no_clip_or_has_nothing_beside_it_is_told(agreed, tmp_path, capsys):
    (tmp_path / "note.mp4").write_text("no clip", encoding="utf-8")
    assert main(["phone-clip", "jonas", str(tmp_path / "note.mp4"), "--library", str(agreed)]) == 2
    assert "note.mp4" in capsys.readouterr().err
    with Library.open(tmp_path / "l") as library, Library.open(agreed) as other:
        library.add_pupil(replace(other.pupil("years"), id="new"))
    assert main(["phone-clip", "jonas", str(CLIP), "--library", str(tmp_path / "l")]) == 2
    assert "has numbers of the body to put the clip beside" in capsys.readouterr().err
