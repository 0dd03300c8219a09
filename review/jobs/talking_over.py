"""A coach's talk over the clips of a lesson: kept with its log, rendered to a video, taken off."""

import uuid
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import datetime
from functools import partial
from pathlib import Path

from review.errors import BadInputError
from review.jobs.handing_out.privacy import NoCoverError, Privacy, make_cover, settle_privacy
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.processes import run_one_apart
from review.jobs.records import allows_now
from review.lesson import Moment, Purpose, TalkOver, Voice
from review.library import Library
from review.media import VOICE_SUFFIX, Audio, is_silent, read_voice, write_voice
from review.progress import Progress, silent
from review.takehome.talk_over import render_talk_over
from review.takehome.talk_picture import TalkedClip

LONGEST_S = 300.0
"""So long one talk may be."""


@dataclass(frozen=True)
class Spoken:
    """A talk that was just held: its voice, or for how long notes were taken where there is none."""

    moments: tuple[Moment, ...]
    voice: Audio | None
    seconds: float = 0.0


def keep_talk_over(folder: Path, lesson_id: str, spoken: Spoken) -> TalkOver:
    """Keep a talk in the library of a folder. The voice is the coach's own and needs no consent of the pupil.

    Raises
    ------
    BadInputError
        When nothing can be heard and nothing was noted.
    MachineError
        When the disk is full or may not be written.
    """
    voice = spoken.voice
    has_notes = any(moment.note for moment in spoken.moments)
    if voice is not None and is_silent(voice):
        voice = None
    if voice is None and not has_notes:
        raise BadInputError("The microphone gave no sound and nothing was noted, so nothing is kept.")
    rate_hz = spoken.voice.rate_hz if spoken.voice is not None else 1000
    n_samples = len(spoken.voice.samples) if spoken.voice is not None else max(1, round(spoken.seconds * rate_hz))
    moments = tuple(moment for moment in spoken.moments if moment.at < n_samples)
    with Library.open(folder, create=False) as library:
        file = "" if voice is None else library.store_voice(partial(_write, voice))
        talk = TalkOver(uuid.uuid4().hex, datetime.now(), rate_hz, n_samples, moments, uuid.uuid4().hex if file else "")
        with library.transaction():
            if file:
                library.add_voice(lesson_id, Voice(talk.voice_id, file, talk.duration_s, talk.made_at, is_pupils=False))
            library.add_talk_over(lesson_id, talk)
    return talk


def _write(voice: Audio, path: Path) -> str:
    write_voice(path, voice)
    return VOICE_SUFFIX


def remove_talk_over(folder: Path, talk: TalkOver) -> None:
    """Take a talk off; as long as this run goes on ``restore_talk_over`` brings it back."""
    with Library.open(folder, create=False) as library, library.transaction():
        if talk.voice_id:
            library.hold_voice(talk.voice_id)
        library.remove_talk_over(talk.id)


def restore_talk_over(folder: Path, lesson_id: str, talk: TalkOver) -> None:
    """Bring a talk back that was taken off."""
    with Library.open(folder, create=False) as library, library.transaction():
        if talk.voice_id:
            library.voice(talk.voice_id)
        library.add_talk_over(lesson_id, talk)


def render_talks(
    library: Library, lesson_id: str, to: Path, privacy: Privacy, progress: Progress = silent, first_number: int = 1
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Write the talks of a lesson as videos into a folder; return their names in order, and what cannot be shown.

    One with a voice needs the pupil's consent to voice too: the pupil may be heard in it. ``progress`` counts the
    pictures of each talk.
    """
    names: list[str] = []
    notes: list[str] = []
    held_on = library.lesson(lesson_id).held_on
    for n, talk in enumerate(library.talk_overs(lesson_id), start=1):
        if talk.voice_id and not allows_now(privacy.pupil, Purpose.VOICE, held_on):
            notes.append(f"Talk {n} over a clip is left out: consent to keep and share the voice is not on record.")
            continue
        try:
            clips = _clips(library, lesson_id, talk.moments, privacy)
            voice = read_voice(library.path_of_voice(library.voice(talk.voice_id))) if talk.voice_id else None
        except (NoCoverError, BadInputError) as error:
            notes.append(f"Talk {n} over a clip is left out: {error}")
            continue
        name = f"{first_number + len(names)}-talk.mp4"
        render_talk_over(talk, clips, voice, to / name, progress)
        names.append(name)
    return tuple(names), tuple(notes)


def _clips(library: Library, lesson_id: str, moments: Sequence[Moment], privacy: Privacy) -> dict[str, TalkedClip]:
    """Every clip of a talk, as it may be shown; one that went to another pupil since is not shown."""
    known = {clip.id: clip for clip in library.clips(lesson_id)}
    found = {}
    for clip_id in dict.fromkeys(moment.clip_id for moment in moments):
        clip = known.get(clip_id)
        if clip is None:
            raise BadInputError("a clip of it is no longer in this lesson.")
        kept = load_landmarks(library, clip, privacy.pupil.handedness)
        track, footage = None if kept is None else kept[0], library.footage_of(clip)
        cover = make_cover(privacy, clip, footage, track)
        found[clip_id] = TalkedClip(footage, privacy.pupil.handedness, cover, track)
    return found


def render_talks_in(
    folder: Path, lesson_id: str, to: Path, cover_faces: bool, progress: Progress = silent
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Do as ``render_talks`` in the library of a folder, with today's consent to share.

    Raises
    ------
    BadInputError
        When consent to share is missing.
    """
    with Library.open(folder, create=False) as library:
        pupil = library.pupil(library.lesson(lesson_id).pupil_id)
        privacy = settle_privacy(pupil, datetime.now().date(), cover_faces)
        return render_talks(library, lesson_id, to, privacy, progress)


def render_talks_apart(
    folder: Path, lesson_id: str, to: Path, progress: Progress = silent, *, cover_faces: bool = False
) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Do as ``render_talks_in`` in a process of its own; cancelled, it ends at once."""
    return run_one_apart(partial(render_talks_in, folder, lesson_id, to, cover_faces), progress)
