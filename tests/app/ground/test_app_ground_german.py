"""What is said of the pressure in the window is German: reasons, patterns, the picture, a table that cannot be read."""

import re
from pathlib import Path

import numpy as np
import pytest

from review.app.ground.words import say_foot, say_means, say_missing, say_pattern
from review.app.language import speak
from review.app.sentences import say_sentences
from review.jobs.pressure.batch_means import TOLD, PressureMean
from review.jobs.pressure.doubts import find_doubt, say_no_swing
from review.jobs.pressure.ground_shown import BatchFeet
from review.jobs.pressure.live_source import GrowingFile
from review.jobs.pressure.live_trace import LiveTrace
from review.jobs.pressure.mats import Mat
from review.jobs.pressure.report import NOT_PLACED
from review.jobs.pressure.trail_foot import FOOT, FootMean
from review.lesson import Handedness
from review.pressure import MatPlacement, lay_path, pattern, read_pressure

ENGLISH = re.compile(r"\b(the|of|and|toward|foot|feet|expected|found|cannot|batch|mean)\b", re.IGNORECASE)


@pytest.fixture(autouse=True)
def _german():
    speak("de")
    yield
    speak("en")


@pytest.mark.parametrize("found", pattern.Pattern)
def test_patterns(found):
    said = say_pattern(BatchFeet(1, 6, pattern.say_patterns([found, found]), ()))
    assert said.endswith("(2 von 2)")
    assert not ENGLISH.search(said)


@pytest.mark.parametrize(("name", "key_frame"), TOLD)
def test_means_of_a_batch(name, key_frame):
    mean = PressureMean(name, key_frame, 64.2, 4.6, 6, is_about=True)
    (said,) = say_means(BatchFeet(1, 6, "", (), (mean,)), Handedness.RIGHT)
    assert "etwa" in said
    assert "±" in said
    assert not ENGLISH.search(said)


@pytest.mark.parametrize("said", [pattern.BOTH_WAYS, "the moment of impact is known to 0.15 s only", NOT_PLACED])
def test_what_else_is_told(said):
    assert not ENGLISH.search(say_sentences(said).replace("Ball & Best", ""))


@pytest.mark.parametrize(("name", "key_frame"), FOOT)
def test_numbers_of_the_trail_foot(name, key_frame):
    for value in (-3.2, 0.0, 3.2):
        said = say_foot(FootMean(name, key_frame, value, 5), 6, Handedness.RIGHT)
        assert said.endswith("(Mittel von 5)")
        assert not ENGLISH.search(said)
    assert not ENGLISH.search(say_missing([(name, "the quick run cannot tell it; measure thoroughly")])[0])


@pytest.mark.parametrize(
    "content",
    [
        "weight,left,right\n1,2,3\n",
        "time,x [kg],y\n0,1,2\n",
        "time,r1 c1,r1 c2,r2 c1,r2 c2\n0,1,2,3,4\n",
    ],
)
def test_a_table_that_cannot_be_read_live(tmp_path, content):
    path = tmp_path / "x7.csv"
    path.write_text(content)
    trace = LiveTrace(GrowingFile(path))
    trace.read_new()
    said = say_sentences(trace.trouble)
    assert said
    names = r"time|cop|center of pressure|cell|\'[^\']*\'"
    assert not ENGLISH.search(re.sub(names, "", said)), said


def test_what_is_odd_or_may_pass_live(tmp_path, monkeypatch):
    path = tmp_path / "x7.csv"
    path.write_text("time,x,y,force\n0,1,2,-600\n")
    trace = LiveTrace(GrowingFile(path))
    trace.read_new()
    monkeypatch.setattr(Path, "open", lambda *_: (_ for _ in ()).throw(PermissionError(13, "locked")))
    trace.read_new()
    for said in (trace.note, trace.trouble):
        assert said
        assert say_sentences(said) != said
        assert not ENGLISH.search(say_sentences(said))


def test_reasons_why_a_number_is_missing():
    t = np.linspace(-1.0, 0.5, 151)
    nowhere = MatPlacement(is_approximate=True, has_angle=False)
    still, gap = np.zeros((151, 2)), np.where((t > -0.1)[:, None] & (t < 0.05)[:, None], np.nan, np.zeros((151, 2)))
    keys = {"address": -0.9, "top": -0.3, "arm level": -0.08, "impact": 0.0}
    reasons = {
        m.why_missing
        for placement, xy in ((nowhere, still), (MatPlacement(), still), (MatPlacement(), gap))
        for m in read_pressure(lay_path(t, xy, placement), keys)
        if m.why_missing
    }
    assert len(reasons) >= 4
    for reason in reasons:
        assert not ENGLISH.search(say_sentences(reason)), reason


@pytest.mark.parametrize("end", [(-12.0, 0.0), (1.0, 12.0), (1.0, 0.0), (300.0, 0.0)])
@pytest.mark.parametrize("has_origin", [True, False])
def test_doubts_about_a_mat_and_what_is_no_swing(end, has_origin):
    t = np.linspace(-1.0, 0.5, 151)
    xy = np.column_stack([np.interp(t, [-0.3, 0.0], [0.0 if end[0] < 200 else 280.0, of]) for of in end])
    placement = MatPlacement(stance_cm=40.0, has_origin=has_origin)
    path, keys = lay_path(t, xy, placement), {"top": -0.3, "impact": 0.0}
    said = [text for text in (find_doubt(Mat(placement), [(path, keys)] * 3), say_no_swing(path, keys, True)) if text]
    assert said or (end[0] == 300.0 and not has_origin)
    for text in said:
        assert not ENGLISH.search(say_sentences(text)), say_sentences(text)
