"""Takes a clip into the lesson it was filmed in: once, whole, with its strike heard."""

import hashlib
from contextlib import suppress
from dataclasses import replace
from datetime import timedelta
from pathlib import Path

from review.errors import BadInputError, MachineError
from review.jobs.lesson_file import CameraPlan
from review.jobs.live.desk import LATE, Desk
from review.jobs.live.filing import place_clips
from review.jobs.live.strike_choice import StrikeChoice
from review.jobs.live.watching import FolderWatch, Found
from review.jobs.pairing.clip_reading import ReadClip, as_clip, read_clip
from review.jobs.pairing.impact import hear_strike
from review.jobs.recordings.searching import MAY_BE_ONE_SWING_S, is_recording
from review.lesson import Arrival, Clip, LiveLesson

_CHUNK = 1 << 20


class Intake:
    """Takes in what a ``FolderWatch`` finds."""

    def __init__(self, desk: Desk, watch: FolderWatch) -> None:
        self._desk = desk
        self._watch = watch
        self._strikes = StrikeChoice()
        # the deepest folder comes first
        self._folders = sorted(desk.live.watched.folders, key=lambda entry: -len(Path(entry[0]).parts))

    def look(self) -> None:
        """Look at the folders once and take in what is ready."""
        found, notes = self._watch.look()
        for note in notes:
            self._desk.note(note)
        for one in found:
            self._try(one)

    def _try(self, found: Found) -> None:
        try:
            read = read_clip(found.path, self._plans(found.path), None)
            if _has_changed(found):
                return
            self._take(found, read)
        except BadInputError as error:
            self._tell_later(found, str(error))
        except MachineError as error:
            if _has_changed(found):
                return
            self._watch.try_later(found, "")
            self._desk.note_failure(error)
        else:
            self._watch.set_done(found)

    def _tell_later(self, found: Found, why: str) -> None:
        text = self._watch.try_later(found, why)
        if text:
            self._desk.note(text)

    def _take(self, found: Found, read: ReadClip) -> None:
        desk = self._desk
        length_s = read.info.duration_s * read.time_scale
        is_long = is_recording(read.info, read.time_scale)
        if is_long and length_s > MAY_BE_ONE_SWING_S:
            desk.note(
                f"{found.path.name} is a recording of {_span(length_s)}, not a clip of one swing; take it in after "
                "the lesson: lesson-review add finds its swings."
            )
            return
        if is_long:
            # one swing slowed down, as likely as not of a camera that does not say so
            read = replace(read, strike_s=hear_strike(found.path, time_scale=read.time_scale))
            desk.note(
                f"{found.path.name} plays for {_span(length_s)} and is taken in as one swing slowed down. If it holds "
                "several, take it in after the lesson: lesson-review add finds them."
            )
        arrival = Arrival("", found.seen_at, str(found.path), found.size, found.changed_ns)
        shorter = self._find_shorter(found)
        # a clip that has grown stays where it is, and where the coach may have moved it
        live = self._find_lesson(read, arrival) if shorter is None else shorter[0]
        if live is None:
            desk.note(
                f"{found.path.name} was filmed outside the lesson and is left out; "
                "to have it all the same: lesson-review add, or live --since HH:MM."
            )
            return
        sha256, file = desk.library.store_clip_file(found.path)
        desk.works_again()
        if _has_changed(found):
            raise BadInputError(f"{found.path.name} is still being written.")
        if self._is_known(sha256, read, arrival):
            return
        lesson = desk.library.lesson(live.lesson_id)
        clip = as_clip(lesson, read, sha256, file)
        others = dict(self._strikes.choose(clip, read.heard, (one for one, _ in desk.arrived_clips())))
        clip = others.pop(clip.id)
        left: tuple[str, ...] = ()
        with desk.library.transaction():
            if shorter is None:
                desk.library.add_clip(lesson.id, clip)
            else:
                left = desk.library.replace_clip(shorter[1].id, _as_said_of(shorter[1], clip))
            desk.library.note_arrival(lesson.id, replace(arrival, item=clip.id))
            for other in others.values():
                desk.library.update_clip(other)
        if others:
            desk.to_match.update(one.lesson_id for one in desk.lessons_of_the_day())
        desk.new_clips.add(clip.id)
        desk.to_match.add(lesson.id)
        for file in left:
            with suppress(MachineError):  # held by another program: the library's next opening removes it
                desk.library.drop_unused_file(file)
        if shorter is not None:
            desk.note(f"{found.path.name} has grown since it was taken in; the longer one takes its place.")
        if live.lesson_id != desk.live.lesson_id:
            name = desk.library.pupil(lesson.pupil_id).name
            desk.note(f"{found.path.name} was filmed in the lesson of {name} before and is filed there.")

    def _find_lesson(self, read: ReadClip, arrival: Arrival) -> LiveLesson | None:
        """The lesson in which a clip was filmed, by its camera's clock as far as that is known."""
        desk = self._desk
        draft = as_clip(desk.library.lesson(desk.live.lesson_id), read, "", "")
        moments = place_clips([*desk.arrived_clips(), (draft, arrival)])
        for clip, by_s in moments.jumps:
            if clip.id == draft.id:
                ahead = "ahead" if by_s > 0 else "back"
                desk.note(
                    f"The clock of camera {clip.camera} seems to have jumped {_span(abs(by_s))} {ahead} before "
                    f"{clip.original_name}. Clips from here on are filed by when they arrive; check the camera's clock."
                )
        # a strike before the start key belongs to the lesson when its file came after
        length = timedelta(seconds=draft.duration_s * draft.time_scale)
        return desk.find_lesson_at(moments.at[draft.id], length, min(length, LATE))

    def _is_known(self, sha256: str, read: ReadClip, arrival: Arrival) -> bool:
        """Whether the same content was taken in before, maybe under another name.

        Another lesson, or one that has ended, is never changed by it: a card copied twice brings old clips with new
        names.
        """
        library = self._desk.library
        there = library.lessons_with_content(sha256)
        for lesson_id in sorted(there, key=lambda lesson_id: lesson_id != self._desk.live.lesson_id):
            known = next(clip for clip in library.clips(lesson_id) if clip.sha256 == sha256)
            if lesson_id != self._desk.live.lesson_id:
                day = library.lesson(lesson_id).held_on
                self._desk.note(
                    f"{read.path.name} is a clip that the library has from the lesson of {day} already; it stays there "
                    "as it is."
                )
                return True
            paths = [one.path for one in library.arrivals(lesson_id) if one.item == known.id]
            with library.transaction():
                library.note_arrival(lesson_id, replace(arrival, item=known.id))
                if read.captured_at is not None and not any(Path(path).exists() for path in paths):
                    # renamed: the new name may say better when it was filmed
                    library.update_clip(
                        replace(
                            known,
                            original_name=read.path.name,
                            captured_at=read.captured_at,
                            captured_resolution_s=read.resolution_s,
                        )
                    )
                    self._desk.to_match.add(lesson_id)
            return True
        return False

    def _find_shorter(self, found: Found) -> tuple[LiveLesson, Clip] | None:
        """The clip taken in from the beginning of this file, when it seemed whole but was not, with its lesson."""
        library = self._desk.library
        before = library.find_arrival(str(found.path))
        if before is None or before.size >= found.size:
            return None
        for live in self._desk.lessons_of_the_day():
            for clip in library.clips(live.lesson_id):
                if clip.id == before.item and _hash_beginning(found.path, before.size) == clip.sha256:
                    return live, clip
        return None

    def _plans(self, path: Path) -> tuple[CameraPlan, ...]:
        for folder, camera in self._folders:
            if camera and path.is_relative_to(folder):
                return (CameraPlan(camera, "*"),)
        return tuple(CameraPlan(name, pattern) for name, pattern in self._desk.live.watched.cameras)


def _as_said_of(before: Clip, clip: Clip) -> Clip:
    """The clip with the speed that the coach gave the one before."""
    if before.time_scale_source != "coach":
        return clip
    return replace(clip, time_scale=before.time_scale, time_scale_source="coach")


def _has_changed(found: Found) -> bool:
    try:
        stat = found.path.stat()
    except OSError:
        return True
    return (stat.st_size, stat.st_mtime_ns) != (found.size, found.changed_ns)


def _hash_beginning(path: Path, size: int) -> str:
    digest = hashlib.sha256()
    try:
        with path.open("rb") as file:
            while size > 0 and (chunk := file.read(min(size, _CHUNK))):
                digest.update(chunk)
                size -= len(chunk)
    except OSError:
        return ""
    return digest.hexdigest()


def _span(seconds: float) -> str:
    minutes, rest = divmod(round(seconds), 60)
    return f"{minutes} min {rest} s" if minutes else f"{rest} s"
