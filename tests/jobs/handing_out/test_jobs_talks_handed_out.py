"""A talk in the take-home of the sample lesson: numbered after the clips, on the page, only with consent to voice."""

import base64
import json
import re
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest

from review.jobs.adding import add_lesson
from review.jobs.handing_out import HandOutWish, hand_out
from review.jobs.lesson_file import read_lesson_file
from review.jobs.sample import find_sample_lesson
from review.jobs.talking_over import Spoken, keep_talk_over
from review.lesson import Consent, Drawing, DrawingKind, KeyFrame, Moment, Purpose, View
from review.library import Library
from review.media import Audio, probe_video, read_audio, read_frames
from review.takehome import ClipChoice
from tests.made_voices import RATE_HZ, speak

SECONDS = 3.0
_SAMPLE = find_sample_lesson().parent
_TRUTH = {
    Path(clip["file"]).name: clip for clip in json.loads((_SAMPLE / "truth.json").read_text(encoding="utf-8"))["clips"]
}
LINE = Drawing("d", DrawingKind.LINE, ((0.1, 0.2), (0.9, 0.2)), 0.0, 99.0, accent=0)


@pytest.fixture
def spoken_lesson(tmp_path: Path):
    """The sample lesson, its true key frames in place of measured ones, three seconds of voice over its first swing."""
    with Library.open(tmp_path / "library") as library:
        lesson = add_lesson(library, read_lesson_file(find_sample_lesson())).lesson
        pupil = library.pupil(lesson.pupil_id)
        consent = Consent(pupil.name, lesson.held_on, frozenset(Purpose))
        library.update_pupil(replace(pupil, consent=consent))
        for clip in library.clips(lesson.id):
            true = _TRUTH[clip.original_name]
            if true["view"] != "face-on":
                continue
            library.update_clip(replace(clip, view=View(true["view"])))
            times = true["key_frames_s"].items()
            library.set_key_frames(clip.id, [KeyFrame(name, at, round(at * 60), 1.0, "pose") for name, at in times])
        swing = next(swing for swing in library.swings(lesson.id) if swing.clips)
        clip = swing.clips[0].id
        moments = (
            Moment(0, clip, 0),
            Moment(RATE_HZ, clip, 40, speed=0.25, drawings=(LINE,)),
            Moment(2 * RATE_HZ, clip, 40, view=(0.2, 0.2, 0.8, 0.8), note="<b>heel</b> & hip"),
        )
        keep_talk_over(tmp_path / "library", lesson.id, Spoken(moments, Audio(speak(SECONDS), RATE_HZ, 0.0)))
        yield library, lesson, swing.order


def test_it_is_numbered_after_the_clips_and_plays_on_the_page(spoken_lesson, tmp_path):
    library, lesson, order = spoken_lesson
    done = hand_out(library, lesson, tmp_path / "out", wanted=HandOutWish(choice=ClipChoice(with_singles=False)))
    names = sorted(path.name for path in (tmp_path / "out").glob("*.mp4"))
    assert [int(name[:2]) for name in names] == list(range(1, len(names) + 1))
    assert names[-1][2:] == f"-talk-over-swing-{order}.mp4"
    assert len(names) == 2
    assert not [note for note in done.notes if "talk" in note.lower()]

    page = done.page.read_text(encoding="utf-8")
    assert f"<h3>Your coach talks over swing {order}</h3>" in page
    assert f'<a href="{names[-1]}">' in page
    assert "0:02 &lt;b&gt;heel&lt;/b&gt; &amp; hip" in page
    section = page[page.index('id="talks"') : page.index("</section>", page.index('id="talks"'))]
    small = tmp_path / "small.mp4"
    small.write_bytes(base64.b64decode(re.search(r"data:video/mp4;base64,([^\"]+)", section)[1]))
    for path in (small, tmp_path / "out" / names[-1]):
        info, heard = probe_video(path), read_audio(path, RATE_HZ)
        assert (info.codec, info.n_frames) == ("h264", 90)
        assert heard.duration_s == pytest.approx(SECONDS, abs=0.1)
        # the tone of the made-up voice: 220 Hz, to the width of a bin of its spectrum
        samples = heard.samples[RATE_HZ // 2 : -RATE_HZ // 2]
        assert np.abs(np.fft.rfft(samples)).argmax() * RATE_HZ / len(samples) == pytest.approx(220, abs=1)
    assert max(probe_video(small).width_px, probe_video(small).height_px) <= 640
    pictures = [frame.rgb.astype(int) for frame in read_frames(tmp_path / "out" / names[-1])]
    # the frame, the line and the enlarged part come when they were on the screen
    changes = [n for n in range(1, 90) if (np.abs(pictures[n] - pictures[n - 1]) > 60).mean() > 0.001]
    assert changes == [30, 60]


def test_without_consent_to_voice_it_is_not_in_it_and_that_is_said(spoken_lesson, tmp_path):
    library, lesson, _ = spoken_lesson
    pupil = library.pupil(lesson.pupil_id)
    purposes = frozenset(Purpose) - {Purpose.VOICE}
    library.update_pupil(replace(pupil, consent=replace(pupil.consent, purposes=purposes)))
    done = hand_out(library, lesson, tmp_path / "out", wanted=HandOutWish(choice=ClipChoice(with_singles=False)))
    assert any("Talk 1" in note and "consent to keep and share the voice" in note for note in done.notes)
    assert not list((tmp_path / "out").glob("*talk*"))
    assert len(list((tmp_path / "out").glob("*.mp4"))) == 1
    assert "Your coach talks" not in done.page.read_text(encoding="utf-8")
