"""Talks of a lesson from the command line: listed, made into videos, taken off."""

from datetime import date

import numpy as np

from review.cli.main import main
from review.jobs.talking_over import Spoken, keep_talk_over
from review.lesson import Clip, Consent, Handedness, Lesson, Moment, Pupil, Purpose
from review.library import Library
from review.media import VideoWriter, probe_video


def test_listed_made_again_and_taken_off(tmp_path, capsys):
    folder = tmp_path / "library"
    with VideoWriter(tmp_path / "clip.mp4", 64, 36, 60) as writer:
        for _ in range(3):
            writer.write(np.zeros((36, 64, 3), np.uint8))
    with Library.open(folder) as library:
        consent = Consent("Pat Example", date(2026, 1, 1), frozenset({Purpose.SHARE}))
        library.add_pupil(Pupil("p", "Pat Example", Handedness.RIGHT, consent=consent))
        library.add_lesson(Lesson("l", "p", date(2026, 3, 14)))
        sha256, file = library.store_clip_file(tmp_path / "clip.mp4")
        library.add_clip("l", Clip("c", sha256, file, "clip.mp4", n_frames=3, duration_s=0.05))
    keep_talk_over(folder, "l", Spoken((Moment(0, "c", 0), Moment(400, "c", 2, note="heel")), None, 2.0))
    asked = ["talks", "last", "--library", str(folder)]
    assert main(asked) == 0
    assert "2 s, notes" in capsys.readouterr().out
    for _ in range(2):
        assert main([*asked, "--to", str(tmp_path / "out")]) == 0
    assert [path.name for path in (tmp_path / "out").iterdir()] == ["01-talk-over-a-clip.mp4"]
    assert probe_video(tmp_path / "out" / "01-talk-over-a-clip.mp4").n_frames == 60
    assert main([*asked, "--remove", "2"]) == 2
    assert main([*asked, "--remove", "1"]) == 0
    capsys.readouterr()
    assert main(asked) == 0
    assert "Nothing was said" in capsys.readouterr().out
