"""Voices in the library: kept while something names them, gone with consent, pupil, or a run that was stopped."""

from dataclasses import replace
from datetime import date, datetime

import pytest
from library_samples import lesson, pupil

from review.errors import BadInputError, MachineError
from review.lesson import Consent, Purpose, Said, Voice, VoiceOf
from review.library import Library

AT = datetime(2026, 3, 14, 10, 5)
_DEAD = 2**22 + 1  # beyond the largest process number of Linux


@pytest.fixture
def folder(tmp_path):
    consent = Consent("Test Pupil", date(2026, 1, 1), frozenset({Purpose.KEEP, Purpose.VOICE}))
    with Library.open(tmp_path / "library") as library:
        library.add_pupil(pupil(consent=consent))
        library.add_lesson(lesson())
    return tmp_path / "library"


def add(library, id, of, content=b"spoken"):
    file = library.store_voice(lambda aside: f".{aside.write_bytes(content) and 'flac'}")
    with library.transaction():
        library.add_voice("l1", Voice(id, file, 4.5, AT, of.is_pupils))
        library.say("l1", [Said("l1-1", of.said_as, id)])
    return library.folder / file


def test_voices_are_found_by_batch_and_what_was_spoken(folder):
    with Library.open(folder) as library:
        add(library, "a", VoiceOf.CUE)
        path = add(library, "b", VoiceOf.FEEL, b"slow")
    with Library.open(folder) as library:
        found = library.voices("l1")
        assert {key: voice.id for key, voice in found.items()} == {
            ("l1-1", VoiceOf.CUE): "a",
            ("l1-1", VoiceOf.FEEL): "b",
        }
        assert library.path_of_voice(found["l1-1", VoiceOf.FEEL]) == path
        assert path.read_bytes() == b"slow"
        assert library.voice("b") == found["l1-1", VoiceOf.FEEL]
        with pytest.raises(BadInputError, match="no longer"):
            library.voice("c")


def test_one_taken_off_stays_until_its_run_has_ended(folder):
    with Library.open(folder) as library:
        path = add(library, "a", VoiceOf.CUE)
        library.hold_voice("a")
        library.say("l1", [Said("l1-1", VoiceOf.CUE.said_as, "")])
        assert library.voices("l1") == {}
    with Library.open(folder) as library:
        assert path.exists()
        library.say("l1", [Said("l1-1", VoiceOf.CUE.said_as, "a")])  # undone
        assert library.voices("l1")
        library._execute("UPDATE voice SET process = ?", (_DEAD,))
    with Library.open(folder) as library:
        assert path.exists()  # named: whoever recorded it
        library.say("l1", [Said("l1-1", VoiceOf.CUE.said_as, "")])
    with Library.open(folder) as library:
        assert not path.exists()
        with pytest.raises(BadInputError):
            library.voice("a")


def test_withdrawn_consent_takes_the_pupils_voice_and_leaves_the_coachs(folder):
    with Library.open(folder) as library:
        coachs, pupils = add(library, "a", VoiceOf.CUE), add(library, "b", VoiceOf.FEEL, b"slow")
        same = add(library, "c", VoiceOf.FEEL, b"spoken")  # the same bytes as the coach's: one file
        assert same == coachs
        library.drop_voices()
        assert pupils.exists()
        known = library.pupil("p1")
        library.update_pupil(replace(known, consent=replace(known.consent, withdrawn_on=date(2026, 3, 15))))
        library.drop_voices()
        assert not pupils.exists()
        assert coachs.exists()
        assert list(library.voices("l1")) == [("l1-1", VoiceOf.CUE)]


def test_what_a_stopped_run_left_is_swept(folder):
    with Library.open(folder) as library:
        file = library.store_voice(lambda aside: f".{aside.write_bytes(b'never named') and 'flac'}")
        library._execute("UPDATE stored SET process = ?", (_DEAD,))
        (folder / "voice" / f"{_DEAD}-1.part").write_bytes(b"half")
        kept = add(library, "a", VoiceOf.CUE)
    with Library.open(folder):
        assert [path for path in (folder / "voice").iterdir()] == [kept]
        assert not (folder / file).exists()


def test_a_failing_disk_leaves_nothing(folder):
    def fail(aside):
        aside.write_bytes(b"half")
        raise MachineError("The disk is full.")

    with Library.open(folder) as library:
        with pytest.raises(MachineError):
            library.store_voice(fail)
        with pytest.raises(ValueError, match="before the transaction"), library.transaction():
            library.store_voice(fail)
    assert list((folder / "voice").iterdir()) == []
