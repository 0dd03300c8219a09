"""One swing, or two in step, as a video that a phone plays: at real speed, then slowly, held at key frames."""

import os
from collections.abc import Iterator
from contextlib import ExitStack
from dataclasses import dataclass
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray
from review.media import Audio, Planes, VideoInfo, VideoWriter, probe_video, read_audio, resize_planes
from review.progress import Progress, silent
from review.takehome.clip_sides import Pair, Shown
from review.takehome.clips.composing import compose, open_readers, plan_course
from review.takehome.clips.layout import Form
from review.takehome.clips.passages import (
    FREEZE_AT,
    Hold,
    Passage,
    choose_rate_hz,
    count_held,
    list_instants,
    plan_holds,
    plan_passages,
)
from review.takehome.clips.stage import Stage, build_stage
from review.takehome.clips.title import CARD_S, TitleCard, draw_card

MOST_BYTES = 16_000_000
_SMALL_SHARE = 0.5
_LEAST_BITS = 0.02
"""Bits a pixel below which a smaller picture looks better than a coarser one: tried by eye, no source."""
_SOUND_BITS_PER_S = 140_000
_TRIES = 4


@dataclass(frozen=True)
class ClipOptions:
    """What the coach chose: how the phone is held, where the clips stand still, whose ears, how large a file may be."""

    form: Form = Form.PORTRAIT
    freeze_at: tuple[str, ...] = FREEZE_AT
    with_sound: bool = False
    most_bytes: int = MOST_BYTES


@dataclass(frozen=True)
class Rendered:
    """What was written, picture by picture.

    instants_s (n,) true seconds from impact, NaN on the title card; frames (n, k) of each clip, -1 there; is_held (n,).
    """

    instants_s: FloatArray
    frames: NDArray[np.int64]
    is_held: NDArray[np.bool_]
    rate_hz: int


@dataclass(frozen=True, eq=False)
class _Plan:
    infos: tuple[VideoInfo, ...]
    passages: tuple[Passage, ...]
    holds: tuple[tuple[Hold, ...], ...]
    rate_hz: int
    n_card: int

    @property
    def n_pictures(self) -> int:
        n_held = sum(map(len, self.holds)) * count_held(self.rate_hz)
        return self.n_card + n_held + sum(len(list_instants(passage, self.rate_hz)) for passage in self.passages)


def _plan(shown: Shown, card: TitleCard | None, options: ClipOptions) -> _Plan:
    infos = tuple(probe_video(side.path) for side in shown.sides)
    passages, rate_hz = plan_passages(shown, infos), choose_rate_hz(shown, infos)
    holds = plan_holds(shown, passages, options.freeze_at)
    return _Plan(infos, passages, holds, rate_hz, round(CARD_S * rate_hz) if card is not None else 0)


def count_pictures(shown: Shown, card: TitleCard | None = None, options: ClipOptions | None = None) -> int:
    """Return how many pictures ``render_clip`` will write, for a progress total; errors as there."""
    return _plan(shown, card, options or ClipOptions()).n_pictures


def render_clip(
    shown: Shown,
    path: str | os.PathLike[str],
    card: TitleCard | None = None,
    options: ClipOptions | None = None,
    progress: Progress = silent,
    small_path: str | os.PathLike[str] | None = None,
) -> Rendered:
    """Write clips as an MP4: real speed once, then top to just after impact at quarter speed, held at key frames.

    Parameters
    ----------
    shown
        One clip, or two whose pictures are nearest to the same true time from impact.
    path
        Target: H.264, sound only where asked for, no larger than ``options.most_bytes``.
    card
        Shown before; None = no card.
    progress
        Called with pictures done and their number; may raise ``Cancelled``, which leaves no file.
    small_path
        Also write a form of half the size, 30 pictures per second, for a page.

    Raises
    ------
    BadInputError
        A clip cannot be used or its impact lies outside it.
    MachineError
        The video cannot be written.
    """
    options = options or ClipOptions()
    plan = _plan(shown, card, options)
    start_s, stop_s = plan.passages[0].start_s, plan.passages[0].stop_s
    stage = build_stage(shown, plan.infos, start_s, stop_s, options.form)
    sound = _find_sound(shown, plan) if options.with_sound else None
    seconds = plan.n_pictures / plan.rate_hz
    # over any second the encoder may run one second ahead
    bits_per_s = options.most_bytes * 8 * 0.96 / (seconds + 1) - (_SOUND_BITS_PER_S if sound is not None else 0)
    for _ in range(_TRIES):
        rendered = _write(shown, plan, stage, card, Path(path), sound, max(bits_per_s, 8000), progress, small_path)
        size = Path(path).stat().st_size
        if size <= options.most_bytes:
            break
        bits_per_s *= 0.8 * options.most_bytes / size
    return rendered


def render_pair(
    pair: Pair,
    path: str | os.PathLike[str],
    progress: Progress = silent,
    small_path: str | os.PathLike[str] | None = None,
) -> Rendered:
    """Write a pair as :func:`render_clip` does when nothing is chosen, without a card."""
    return render_clip(pair, path, None, None, progress, small_path)


def find_small_impact(rendered: Rendered) -> int:
    """Return the number of the small form's picture that shows the impact held in slow motion."""
    in_small = np.abs(rendered.instants_s[:: _every(rendered.rate_hz)])
    return int(np.flatnonzero(in_small == np.nanmin(in_small))[-1])


def _every(rate_hz: int) -> int:
    """Of how many pictures one goes into the small form of 30 a second."""
    return max(1, rate_hz // 30)


def _write(
    shown: Shown,
    plan: _Plan,
    stage: Stage,
    card: TitleCard | None,
    path: Path,
    sound: Audio | None,
    bits_per_s: float,
    progress: Progress,
    small_path: str | os.PathLike[str] | None,
) -> Rendered:
    size = _choose_size(stage.size, bits_per_s / plan.rate_hz)
    small_size = _scale(stage.size, _SMALL_SHARE)
    every = _every(plan.rate_hz)
    instants: list[float] = []
    frames: list[tuple[int, ...]] = []
    held: list[bool] = []
    with ExitStack() as stack:
        writer = stack.enter_context(
            VideoWriter(path, *size, plan.rate_hz, sound, most_bits_per_s=bits_per_s, takes_planes=True)
        )
        small = None
        if small_path is not None:
            small = stack.enter_context(VideoWriter(small_path, *small_size, plan.rate_hz / every, takes_planes=True))
        for planes, instant, shown_frames, is_held in _list_pictures(shown, plan, stage, card):
            writer.write(resize_planes(planes, *size))
            if small is not None and len(instants) % every == 0:
                small.write(resize_planes(planes, *small_size))
            instants.append(instant)
            frames.append(shown_frames)
            held.append(is_held)
            progress(len(instants), plan.n_pictures)
    return Rendered(np.array(instants), np.array(frames, np.int64), np.array(held), plan.rate_hz)


def _list_pictures(
    shown: Shown, plan: _Plan, stage: Stage, card: TitleCard | None
) -> Iterator[tuple[Planes, float, tuple[int, ...], bool]]:
    if card is not None:
        drawn = draw_card(card, shown, stage.size)
        for _ in range(plan.n_card):
            yield drawn, float("nan"), (-1,) * len(shown.sides), True
    planned = zip(plan.passages, plan.holds, strict=True)
    courses = tuple(plan_course(shown, plan.infos, passage, holds, plan.rate_hz) for passage, holds in planned)
    readers = open_readers(shown, plan.infos, stage, courses)
    for course in courses:
        for composed in compose(shown, stage, course, readers, plan.rate_hz):
            yield composed.planes, composed.instant_s, composed.frames, composed.is_held


def _scale(size: tuple[int, int], share: float) -> tuple[int, int]:
    return 2 * round(size[0] * share / 2), 2 * round(size[1] * share / 2)


def _choose_size(size: tuple[int, int], bits: float) -> tuple[int, int]:
    """Choose how large a picture may be that gets so many bits."""
    for share in (1.0, 2 / 3, 0.5, 1 / 3):
        chosen = _scale(size, share)
        if bits >= _LEAST_BITS * chosen[0] * chosen[1]:
            break
    return chosen


def why_silent(shown: Shown, options: ClipOptions) -> str:
    """Say why a clip is written without sound although it was asked for; '' where it has some. Errors as above."""
    plan, side = _plan(shown, None, options), shown.sides[-1]
    if side.time_scale != 1.0:
        return "the camera slowed it"
    if plan.holds[0]:
        return "it is held while it runs at real speed"
    return "" if read_audio(side.path) is not None else "the clip has none"


def _find_sound(shown: Shown, plan: _Plan) -> Audio | None:
    """Return the sound of the last clip, on the clock of what is written, for its passage at real speed."""
    side, passage = shown.sides[-1], plan.passages[0]
    if side.time_scale != 1.0 or plan.holds[0]:
        return None  # slowed by the camera, or held in between
    sound = read_audio(side.path)
    if sound is None:
        return None
    begin_s = side.impact_s + float(list_instants(passage, plan.rate_hz)[0])
    first = max(0, round((begin_s - sound.start_s) * sound.rate_hz))
    stop = max(first, round((side.impact_s + passage.stop_s - sound.start_s) * sound.rate_hz))
    late_s = max(0.0, sound.start_s - begin_s)
    return Audio(sound.samples[first:stop], sound.rate_hz, plan.n_card / plan.rate_hz + late_s)
