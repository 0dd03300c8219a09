"""A consent that has ended or was withdrawn: nothing is measured or handed out on it, and nothing brings it back."""

import shutil
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from review.cli.main import main
from review.errors import BadInputError
from review.jobs.adding import add_lesson
from review.jobs.handing_out import hand_out
from review.jobs.lesson_file import read_lesson_file
from review.jobs.measuring.whole_lesson import measure_lesson
from review.jobs.pupils import record_consent, withdraw_consent
from review.jobs.sample import find_sample_lesson
from review.lesson import Consent, Purpose
from review.library import Library
from review.pose import Effort

TODAY = date.today()
YESTERDAY = TODAY - timedelta(days=1)


@pytest.fixture
def plan(tmp_path):
    """Two clips of the sample lesson with its rows and its consent, given on the lesson's day."""
    sample = find_sample_lesson().parent
    clips = tmp_path / "clips"
    clips.mkdir()
    for clip in sorted((sample / "clips").glob("*.mp4"))[:2]:
        shutil.copy(clip, clips)
    whole = read_lesson_file(sample / "lesson.toml")
    return replace(whole, clips=tuple(sorted(clips.iterdir())), shots=None, pressure=None, player_setups=())


def with_consent(plan, **changes):
    return replace(plan, pupil=replace(plan.pupil, consent=replace(plan.pupil.consent, **changes)))


@pytest.mark.parametrize("how", [{"until": YESTERDAY}, {"withdrawn_on": TODAY}])
def test_an_ended_or_withdrawn_consent_is_none(tmp_path, plan, how):
    assert plan.held_on < YESTERDAY
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, with_consent(plan, **how))
        assert done.is_consent_missing
        said = f"ended on {YESTERDAY}" if "until" in how else f"withdrawn on {TODAY}"
        assert said in done.notes[0]
        with pytest.raises(BadInputError, match=said):
            measure_lesson(library, done.lesson, Effort.QUICK)
        with pytest.raises(BadInputError, match="without consent to share"):
            hand_out(library, done.lesson, tmp_path / "out")
    assert not (tmp_path / "out").exists()


def test_a_lesson_file_added_again_does_not_bring_back_what_was_withdrawn(tmp_path, plan):
    with Library.open(tmp_path / "library") as library:
        done = add_lesson(library, plan)
        assert not done.is_consent_missing
        withdraw_consent(library, done.pupil.id)
        again = add_lesson(library, plan)
        assert again.pupil.consent.withdrawn_on == TODAY
        assert again.is_consent_missing
        asked_anew = record_consent(library, done.pupil.name, Consent(done.pupil.name, TODAY, frozenset(Purpose)))
        assert asked_anew.allows(Purpose.SHARE, TODAY)
        assert add_lesson(library, plan).pupil.consent == asked_anew.consent


def test_withdrawing_needs_a_consent(tmp_path, plan):
    bare = replace(plan, pupil=replace(plan.pupil, consent=None))
    with Library.open(tmp_path / "library") as library:
        pupil = add_lesson(library, bare).pupil
        with pytest.raises(BadInputError, match="nothing to withdraw"):
            withdraw_consent(library, pupil.id)


def test_until_and_withdrawing_by_command(tmp_path, plan, capsys):
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        name = add_lesson(library, plan).pupil.name
    asked = ["add", "--pupil", name, "--consent-by", name, "--consent-for", "share", "--library", str(folder)]
    assert main([*asked, "--consent-until", str(YESTERDAY)]) == 2
    assert "before it is given" in capsys.readouterr().err.replace("\n", " ")
    last = TODAY + timedelta(days=30)
    assert main([*asked, "--consent-until", str(last)]) == 0
    assert _consent(folder) == Consent(name, TODAY, frozenset({Purpose.SHARE}), last)
    assert main(["add", "--pupil", name, "--withdraw-consent", "--library", str(folder)]) == 0
    assert _consent(folder).withdrawn_on == TODAY


def _consent(folder: Path) -> Consent:
    with Library.open(folder, create=False) as library:
        (pupil,) = library.pupils()
    assert pupil.consent is not None
    return pupil.consent


def test_a_guardian_alone_is_noted_and_a_new_child_needs_a_hand(tmp_path, plan, capsys):
    folder = tmp_path / "library"
    with Library.open(folder) as library:
        add_lesson(library, plan)
    about = ["--minor", "--guardian", "Rana Calder", "--library", str(folder)]
    assert main(["add", "--pupil", "Ines Calder", *about]) == 0
    assert main(["add", "--pupil", "Kim Sample", *about]) == 2
    assert "--handed" in capsys.readouterr().err
    assert main(["add", "--pupil", "Kim Sample", "--handed", "left", *about]) == 0
    assert main(["add", "--pupil", "Kim Sample", "--minor", "--library", str(folder)]) == 2
    with Library.open(folder, create=False) as library:
        pupils = {pupil.name: pupil for pupil in library.pupils()}
        for name in ("Ines Calder", "Kim Sample"):
            assert (pupils[name].is_minor, pupils[name].guardian) == (True, "Rana Calder")
        assert not pupils["Ines Calder"].allows(Purpose.SHARE, TODAY)  # her own consent is not the guardian's
