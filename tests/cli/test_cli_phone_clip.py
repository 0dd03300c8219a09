"""``phone-clip``: a clip beside the last batch, what cannot be told said, nothing kept."""

import json
import shutil
from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from review.cli.main import main
from review.jobs.history import phone_pair
from review.jobs.history.phone_clip import measure_phone_clip
from review.jobs.measuring import one_swing
from review.lesson import Clip, Consent, Handedness, KeyFrame, Purpose, View
from review.library import Library
from review.pose import mirror_track
from tests.jobs.resounded import clip_path, landmarks, true_impact_s
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
    assert "hip turn at impact " in said
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


@pytest.fixture(scope="module")
def filmed(home, tmp_path_factory):
    """The same library whose last lesson has one swing filmed face-on."""
    folder = tmp_path_factory.mktemp("filmed") / "library"
    shutil.copytree(home, folder)
    with Library.open(folder) as library:
        pupil = library.pupil("years")
        library.update_pupil(replace(pupil, consent=Consent(pupil.name, date(2024, 1, 1), frozenset(Purpose))))
        lesson = library.lessons("years")[-1]
        swings = list(library.swings(lesson.id))
        sha256, file = library.store_clip_file(CLIP)
        clip = Clip("clip", sha256, file, CLIP.name, view=View.FACE_ON)
        library.add_clip(lesson.id, clip)
        at = next(n for n, swing in enumerate(swings) if swing.batch_id == lesson.batches[-1].id) + 2
        swings[at] = replace(swings[at], clips=(clip,))
        library.replace_swings(lesson.id, swings)
        library.set_key_frames("clip", [KeyFrame("impact", true_impact_s("face_on"), 0, 0.9, "pose")])
    return folder


def test_both_clips_are_written_beside_each_other_met_at_impact(filmed, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(one_swing, "track_clips", lambda *_: ({"0": landmarks("face_on")}, {}))
    shown = []

    def render(pair, to, progress):  # how a pair is written is tested in tests/takehome
        shown.append(pair)
        to.write_bytes(b"video")

    monkeypatch.setattr(phone_pair, "render_pair", render)
    before, to = _files(filmed), tmp_path / "both.mp4"
    assert main(["phone-clip", "jonas", str(CLIP), "--quick", "--clip", str(to), "--library", str(filmed)]) == 0
    assert str(to) in capsys.readouterr().out
    (pair,) = shown
    assert pair.first.path.path.is_relative_to(filmed)
    assert pair.last.path == CLIP
    assert pair.view == "face-on"
    # the same swing twice: found anew in the phone's clip within two frames of where it truly is
    assert pair.last.impact_s == pytest.approx(pair.first.impact_s, abs=2 / 30)
    assert [number.name for number in pair.last.numbers] == ["Hip turn at impact"]
    assert [number.name for number in pair.first.numbers] == ["Hip turn at impact"]
    assert pair.first.cover is None
    assert _files(filmed) == before


def test_a_left_handers_body_is_drawn_where_it_is_in_the_picture(filmed, tmp_path, monkeypatch):
    there = mirror_track(landmarks("face_on"))
    monkeypatch.setattr(one_swing, "track_clips", lambda *_: ({"0": there}, {}))
    shown = []
    monkeypatch.setattr(phone_pair, "render_pair", lambda pair, *_: shown.append(pair))
    with Library.open(filmed) as library:
        measured = measure_phone_clip(library, replace(library.pupil("years"), handedness=Handedness.LEFT), CLIP)
        phone_pair.write_phone_pair(library, measured, tmp_path / "both.mp4")
    np.testing.assert_allclose(shown[0].last.track.image_px, there.image_px)


def test_what_hinders_both_clips_is_told(filmed, agreed, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(one_swing, "track_clips", lambda *_: ({"0": landmarks("face_on")}, {}))
    clip = ["phone-clip", "jonas", str(CLIP), "--quick", "--clip"]
    assert main([*clip, str(tmp_path / "both.txt"), "--library", str(filmed)]) == 2
    assert "ends in .mp4" in capsys.readouterr().err
    assert main([*clip, str(tmp_path / "both.mp4"), "--library", str(agreed)]) == 2
    told = capsys.readouterr()
    assert "hip turn at impact " in told.out
    assert "no swing of batch 2 was filmed face-on and measured" in told.err
    with Library.open(agreed) as library:
        pupil = library.pupil("years")
        library.update_pupil(
            replace(pupil, consent=Consent(pupil.name, date(2024, 1, 1), frozenset({Purpose.MEASURE})))
        )
    assert main([*clip, str(tmp_path / "both.mp4"), "--library", str(agreed)]) == 2
    assert "has not agreed that clips are kept" in capsys.readouterr().err
    assert not list(tmp_path.glob("both*"))


def test_a_minors_face_is_covered_in_both_clips_or_nothing_written(filmed, tmp_path, capsys, monkeypatch):
    monkeypatch.setattr(one_swing, "track_clips", lambda *_: ({"0": landmarks("face_on")}, {}))
    with Library.open(filmed) as library:
        pupil = library.pupil("years")
        consent = Consent("Robin Made-Up", date(2024, 1, 1), frozenset(Purpose))
        library.update_pupil(replace(pupil, is_minor=True, guardian="Robin Made-Up", consent=consent))
    to = tmp_path / "both.mp4"
    try:
        assert main(["phone-clip", "jonas", str(CLIP), "--quick", "--clip", str(to), "--library", str(filmed)]) == 2
    finally:
        with Library.open(filmed) as library:
            library.update_pupil(pupil)
    assert "the face is covered where measuring finds it, so measure the lesson first" in capsys.readouterr().err
    assert not to.exists()
