"""A camera's sound against its pictures over all its lessons: learnt, used, and told when something is wrong."""

from collections.abc import Iterable, Mapping

from review.jobs.pairing.impact import TimedSwing
from review.lesson import Clip, SoundOffset
from review.library import Library
from review.swing.sound_offset import SoundFit, follow_sound_offset, is_usable, is_well_known, judge_sound_offset


def load_sound_offsets(library: Library, cameras: Iterable[str]) -> dict[str, SoundOffset]:
    """Learn the offsets of cameras, by name, from what was seen and heard so far; absent while too little was."""
    offsets = {}
    for camera in dict.fromkeys(cameras):
        known = library.seen_and_heard(camera)
        offset = follow_sound_offset([late for late, _ in known], [room for _, room in known])
        if offset is not None:
            offsets[camera] = offset
    return offsets


def needs_learning(offset: SoundOffset | None) -> bool:
    """Whether more clips should be looked at although their strike was heard."""
    return offset is None or not is_well_known(offset)


def note_sound(library: Library, clip: Clip, timed: TimedSwing) -> None:
    """Keep what a clip taught about its camera; clips in slow motion teach nothing, their sound is made otherwise."""
    if timed.heard_late_s is not None and timed.seen_within_s is not None and clip.time_scale == 1.0:
        library.note_seen_and_heard(clip.id, clip.camera, timed.heard_late_s, timed.seen_within_s)


def tell_sound(offsets: Mapping[str, SoundOffset]) -> list[str]:
    """Say of which cameras the sound does not fit the pictures, by the limits of ITU-R BT.1359-1."""
    return [_tell(camera, offset) for camera, offset in offsets.items() if is_usable(offset) and _is_noticed(offset)]


def _is_noticed(offset: SoundOffset) -> bool:
    return judge_sound_offset(offset.offset_s) is not SoundFit.UNNOTICED


def _tell(camera: str, offset: SoundOffset) -> str:
    which = "after" if offset.offset_s > 0 else "before"
    is_acceptable = judge_sound_offset(offset.offset_s) is SoundFit.DETECTABLE
    judged = "a viewer notices it" if is_acceptable else "more than a viewer accepts"
    return (
        f"Camera {camera}: strikes are heard {abs(1000 * offset.offset_s):.0f} ms {which} the ball is seen leaving "
        f"({offset.n_clips} clips); {judged} (ITU-R BT.1359-1). Something is wrong with the recording: look at the "
        "camera's settings or how its files are copied. Impact is corrected by it."
    )
