"""A pair's clips one by one, small and on one clock: picture n of both is the same time from impact."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.errors import BadInputError
from review.lesson import FloatArray
from review.media import Planes, VideoInfo, VideoWriter, probe_video, to_rgb
from review.progress import Progress, silent
from review.takehome.clip_sides import ClipSide, Pair
from review.takehome.clips.crops import choose_crops
from review.takehome.clips.dressing import Box, dress
from review.takehome.clips.passages import choose_rate_hz, list_instants, nearest_frames, plan_passages
from review.takehome.shown_frames import read_shown
from review.takehome.stills import to_jpeg

_HEIGHT_PX = 480
"""Two stand side by side on a phone, each half as wide as its screen."""
_CRF = 26
_PICTURES_PER_START = 12


@dataclass(frozen=True, eq=False)
class ClipAlone:
    """One clip for the page: ``key_pictures`` are the names of its key frames and their pictures, in order of time."""

    mp4: bytes
    poster_jpeg: bytes
    key_pictures: tuple[tuple[str, int], ...]
    width_px: int
    height_px: int


@dataclass(frozen=True, eq=False)
class ClipsApart:
    """Both clips: ``n_pictures`` each at ``rate_hz`` of true time, impact at picture ``impact``."""

    clips: tuple[ClipAlone, ClipAlone]
    rate_hz: int
    n_pictures: int
    impact: int

    @property
    def n_bytes(self) -> int:
        """Bytes of both videos."""
        return sum(len(clip.mp4) for clip in self.clips)


def count_apart(pair: Pair) -> int:
    """Return how many pictures ``render_apart`` will write, for a progress total; errors as there."""
    return 2 * len(_list_instants(pair, _probe(pair)))


def render_apart(pair: Pair, folder: Path, progress: Progress = silent) -> ClipsApart:
    """Render both clips at real speed, from address to finish, cut to the player, with body lines.

    ``folder`` holds the videos until they are read; nothing stays there.

    Raises
    ------
    BadInputError
        A clip cannot be used or its impact lies outside it.
    MachineError
        A video cannot be written.
    """
    infos = _probe(pair)
    rate_hz = choose_rate_hz(pair, infos)
    instants = _list_instants(pair, infos)
    impact = int(np.abs(instants).argmin())
    clips = []
    for n, (side, info, crop) in enumerate(zip(pair.sides, infos, choose_crops(pair, infos), strict=True)):
        done = n * len(instants)
        path = folder / f"page-{n}.mp4"
        width = 2 * round((crop[1] - crop[0]) * _HEIGHT_PX / info.height_px / 2)
        poster = None
        try:
            with VideoWriter(
                path,
                width,
                _HEIGHT_PX,
                rate_hz,
                crf=_CRF,
                pictures_per_start=_PICTURES_PER_START,
                takes_planes=True,
            ) as writer:
                for i, picture in enumerate(_follow(side, info, crop, Box(0, 0, width, _HEIGHT_PX), instants)):
                    writer.write(picture)
                    poster = picture if i == impact else poster
                    progress(done + i + 1, 2 * len(instants))
            mp4 = path.read_bytes()
        finally:
            path.unlink(missing_ok=True)
        if poster is None:
            raise BadInputError(
                f"Expected a picture at impact in '{side.path.name}', but none could be decoded. Choose another swing."
            )
        clips.append(ClipAlone(mp4, to_jpeg(to_rgb(poster)), _find_key_pictures(side, instants), width, _HEIGHT_PX))
    return ClipsApart((clips[0], clips[1]), rate_hz, len(instants), impact)


def _probe(pair: Pair) -> tuple[VideoInfo, VideoInfo]:
    return probe_video(pair.first.path), probe_video(pair.last.path)


def _list_instants(pair: Pair, infos: tuple[VideoInfo, VideoInfo]) -> FloatArray:
    return list_instants(plan_passages(pair, infos)[0], choose_rate_hz(pair, infos))


def _follow(
    side: ClipSide, info: VideoInfo, crop: tuple[int, int], box: Box, instants_s: FloatArray
) -> Iterator[Planes]:
    """Yield the picture nearest to every instant; each frame is decoded once."""
    wanted = nearest_frames(side, info, instants_s)
    source = read_shown(side, info, int(wanted[0]), int(wanted[-1]) + 1)
    frame = next(source)
    picture = dress(frame, side, info, crop, box)
    for number in wanted.tolist():
        if frame.index < number:
            while frame.index < number:
                frame = next(source)
            picture = dress(frame, side, info, crop, box)
        yield picture


def _find_key_pictures(side: ClipSide, instants_s: FloatArray) -> tuple[tuple[str, int], ...]:
    half_s = (instants_s[1] - instants_s[0]) / 2 if len(instants_s) > 1 else np.inf
    found = []
    for key_frame in sorted(side.key_frames, key=lambda key_frame: key_frame.time_s):
        after_s = side.after_impact_s(key_frame.name)
        gaps = np.abs(instants_s - (np.inf if after_s is None else after_s))
        if gaps.min() <= half_s + 1e-9:
            found.append((key_frame.name, int(gaps.argmin())))
    return tuple(found)
