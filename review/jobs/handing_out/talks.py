"""The coach's talks over clips as videos for the pupil, made anew from their logs each time."""

from collections.abc import Container, Sequence
from pathlib import Path

from review.errors import BadInputError
from review.jobs.handing_out.privacy import NoCoverError, Privacy, make_cover
from review.jobs.measuring.kept_landmarks import load_landmarks
from review.jobs.records import allows_now
from review.lesson import Moment, Purpose, TalkOver
from review.library import Library
from review.media import read_voice
from review.progress import Progress, silent
from review.takehome import TalkVideo
from review.takehome.clips.files import slug
from review.takehome.talk_over import render_talk_over
from review.takehome.talk_picture import TalkedClip


def render_talks(
    library: Library,
    lesson_id: str,
    to: Path,
    privacy: Privacy,
    progress: Progress = silent,
    first_number: int = 1,
    *,
    with_small: bool = False,
) -> tuple[tuple[TalkVideo, ...], tuple[str, ...]]:
    """Write the talks of a lesson as videos into a folder; return them in order, and what cannot be shown.

    One with a voice needs the pupil's consent to voice too: the pupil may be heard in it. ``progress`` counts the
    pictures of each talk. ``with_small`` makes the small form for a page, too.
    """
    videos: list[TalkVideo] = []
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
        over = _say_swings(library, lesson_id, clips)
        name = f"{first_number + len(videos):02d}-talk-over-{slug(over)}.mp4"
        small = to / "small-talk.mp4" if with_small else None
        render_talk_over(talk, clips, voice, to / name, progress, small)
        small_mp4 = b"" if small is None else small.read_bytes()
        if small is not None:
            small.unlink()
        videos.append(TalkVideo(name, over, small_mp4, voice is not None, _list_notes(talk)))
    return tuple(videos), tuple(notes)


def _say_swings(library: Library, lesson_id: str, clip_ids: Container[str]) -> str:
    """Say over which swings it is: "swing 3", "swings 3 and 7"."""
    orders = [str(s.order) for s in library.swings(lesson_id) if any(clip.id in clip_ids for clip in s.clips)]
    if len(orders) < 2:
        return f"swing {orders[0]}" if orders else "a clip"
    return f"swings {', '.join(orders[:-1])} and {orders[-1]}"


def _list_notes(talk: TalkOver) -> tuple[str, ...]:
    """What was written in a talk, each note once as it came up, with its time."""
    found, last = [], ""
    for moment in talk.moments:
        if moment.note and moment.note != last:
            seconds = int(moment.at / talk.rate_hz)
            found.append(f"{seconds // 60}:{seconds % 60:02d} {moment.note}")
        last = moment.note
    return tuple(found)


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
        track = track if privacy.with_body else None
        found[clip_id] = TalkedClip(footage, cover, privacy.pupil.handedness, track)
    return found
