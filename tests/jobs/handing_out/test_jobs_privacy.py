"""Who gets a take-home, whose face is covered, and what consent leaves of it."""

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import cv2
import numpy as np
import pytest

from review.body import cover_head
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.handing_out import HandOutWish, hand_out
from review.jobs.handing_out.privacy import NoCoverError, make_cover, settle_privacy
from review.jobs.lesson_file import read_lesson_file
from review.jobs.pupils import withdraw_consent
from review.jobs.sample import find_sample_lesson
from review.lesson import Clip, Consent, Handedness, Measure, Pupil, Purpose, View
from review.library import Library
from review.media import VideoWriter, read_frames
from tests.jobs.resounded import clip_path, landmarks

SOURCE = clip_path("face_on")
TODAY = date.today()
ALL = frozenset(Purpose)
GROWN = Pupil("1", "Ines Calder", Handedness.RIGHT, 1.70, Consent("Ines Calder", date(2026, 1, 1), ALL))
CHILD = replace(GROWN, is_minor=True, guardian="Rana Calder", consent=replace(GROWN.consent, given_by="Rana Calder"))
CLIP = Clip("c", "0" * 64, "c.mp4", "c.mp4", view=View.FACE_ON)


def test_a_minors_face_is_covered_and_it_goes_to_the_guardian_unless_said_otherwise():
    grown = settle_privacy(GROWN, TODAY)
    assert grown.for_whom == "Ines Calder"
    assert not grown.cover_faces
    assert not grown.only_player
    child = settle_privacy(CHILD, TODAY)
    assert child.cover_faces
    assert child.only_player
    assert child.for_whom == "Rana Calder"
    assert settle_privacy(CHILD, TODAY, for_whom=" Her coach at school ").for_whom == "Her coach at school"
    assert settle_privacy(GROWN, TODAY, cover_faces=True).cover_faces


@pytest.mark.parametrize(
    "consent",
    [
        None,
        Consent("Ines Calder", date(2026, 1, 1), ALL - {Purpose.SHARE}),
        Consent("Ines Calder", date(2026, 1, 1), ALL, until=TODAY - timedelta(days=1)),
        Consent("Ines Calder", date(2026, 1, 1), ALL, withdrawn_on=TODAY),
        Consent("Ines Calder", TODAY + timedelta(days=1), ALL),
    ],
)
def test_nothing_without_a_running_consent_to_share(consent):
    with pytest.raises(BadInputError, match="consent to share"):
        settle_privacy(replace(GROWN, consent=consent), TODAY)
    with pytest.raises(BadInputError, match="Rana Calder"):
        settle_privacy(replace(CHILD, consent=consent), TODAY)


def test_a_clip_that_cannot_be_covered_is_not_handed_out(face_on):
    child = settle_privacy(CHILD, TODAY)
    with pytest.raises(NoCoverError, match="measure the lesson first"):
        make_cover(child, CLIP, SOURCE, None)
    nobody = replace(face_on.track, image_px=np.full_like(face_on.track.image_px, np.nan))
    with pytest.raises(NoCoverError, match="was not found"):
        make_cover(child, CLIP, SOURCE, nobody)
    unmeasured = replace(CHILD, consent=replace(CHILD.consent, purposes=ALL - {Purpose.MEASURE}))
    with pytest.raises(NoCoverError, match="consent to measure is not on record"):
        make_cover(settle_privacy(unmeasured, TODAY), CLIP, SOURCE, face_on.track)
    assert make_cover(settle_privacy(GROWN, TODAY), CLIP, SOURCE, None) is None


def test_only_the_player_and_the_clubs_reach_are_shown(face_on):
    cover = make_cover(settle_privacy(GROWN, TODAY, only_player=True), CLIP, SOURCE, face_on.track)
    left, top, right, low = cover.kept
    body = face_on.track.image_px[..., :2]
    assert left < body[..., 0].min()
    assert right > body[..., 0].max()
    assert top < body[..., 1].min()
    assert low > body[..., 1].max()
    # faces are another wish
    assert cover.heads.size == 0


def test_covered_are_the_player_and_who_else_is_found(sample_track, tmp_path):
    alone = make_cover(settle_privacy(CHILD, TODAY), CLIP, SOURCE, sample_track)
    heads = cover_head(sample_track, stature_m=GROWN.stature_m, is_minor=True)
    np.testing.assert_array_equal(alone.heads, heads)  # nobody else is in that clip
    # the same clip with somebody at its right edge: the player once more, 0.4 of the size
    with VideoWriter(tmp_path / "two.mp4", sample_track.width_px, sample_track.height_px, 60) as writer:
        for frame in read_frames(SOURCE):
            small = cv2.resize(frame.rgb, None, fx=0.4, fy=0.4, interpolation=cv2.INTER_AREA)[:, 54:-54]
            picture = frame.rgb.copy()
            y = round(0.85 * picture.shape[0]) - small.shape[0]
            picture[y : y + small.shape[0], -small.shape[1] :] = small
            writer.write(picture)
    x = sample_track.width_px - small.shape[1] - 54
    cover = make_cover(settle_privacy(CHILD, TODAY), CLIP, tmp_path / "two.mp4", sample_track)
    noses = sample_track.image_px[:, 0, :2] * 0.4 + [x, y]
    for others, nose in zip(cover.heads[:, 4:], noses, strict=True):
        assert (np.hypot(*(others[:, :2] - nose).T) < others[:, 2]).any()


@pytest.fixture
def sample_track():
    return landmarks("face_on")


@pytest.fixture
def sample(tmp_path: Path):
    """The sample lesson, not measured, one body number made up for each filmed swing."""
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        for swing in library.swings(lesson.id):
            library.set_measures(swing.id, (Measure("hip_turn_deg", 31.0, "impact", low=30.0, high=32.0),), "made up")
        yield library, lesson


def _consent(library, lesson, **changes):
    pupil = library.pupil(lesson.pupil_id)
    library.update_pupil(replace(pupil, **changes))


def test_numbers_of_the_body_need_consent_to_measure(sample, tmp_path):
    library, lesson = sample
    page = hand_out(library, lesson, tmp_path / "with").page
    assert "Hip turn" in page.read_text(encoding="utf-8")
    assert "consent to measure" not in page.read_text(encoding="utf-8")
    assert "hip turn" in (tmp_path / "with" / "measures.csv").read_text(encoding="utf-8")
    name = library.pupil(lesson.pupil_id).name
    _consent(library, lesson, consent=Consent(name, date(2026, 1, 1), frozenset({Purpose.KEEP, Purpose.SHARE})))
    handed = hand_out(library, lesson, tmp_path / "without")
    page = handed.page
    assert "Numbers and lines of the body are left out: consent to measure is not on record." in handed.notes
    missing = page.read_text(encoding="utf-8").partition("What is missing")[2]
    assert "<li>Numbers and lines of the body: consent to measure is not given.</li>" in missing
    assert "Hip turn" not in page.read_text(encoding="utf-8")
    assert "hip turn" not in (tmp_path / "without" / "measures.csv").read_text(encoding="utf-8")
    assert "Club path" in page.read_text(encoding="utf-8")


def test_what_was_handed_to_whom_is_noted_and_outlives_the_consent(sample, tmp_path):
    library, lesson = sample
    hand_out(library, lesson, tmp_path / "out", wanted=HandOutWish(for_whom="Ines and her father"))
    told = library.handouts(lesson.pupil_id)
    assert told == (f"take-home in out, to Ines and her father on {TODAY}",)
    withdraw_consent(library, lesson.pupil_id)
    assert library.handouts(lesson.pupil_id) == told
    with pytest.raises(BadInputError, match="consent to share"):
        hand_out(library, lesson, tmp_path / "again")


def test_an_unmeasured_minors_take_home_has_no_clips_and_says_why(sample, tmp_path):
    library, lesson = sample
    _consent(library, lesson, is_minor=True, guardian="Rana", consent=Consent("Rana", date(2026, 1, 1), ALL))
    done = hand_out(library, lesson, tmp_path / "out")
    assert not list((tmp_path / "out").glob("*.mp4"))
    assert done.notes
    assert done.for_whom == "Rana"
    assert "Calder" not in done.page.read_text(encoding="utf-8")


@pytest.mark.parametrize("pupil", [GROWN, CHILD])
def test_after_a_refusal_it_says_who_refused_and_when_and_asks_nobody_again(pupil):
    refused = replace(pupil, consent=Consent("Rana Calder", date(2026, 1, 1), frozenset()))
    with pytest.raises(BadInputError, match="Rana Calder was asked on 2026-01-01 and refused") as error:
        settle_privacy(refused, TODAY)
    assert "ask " not in str(error.value)
