"""How exact is this camera on this person: held positions as marked against as read."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from review.body import Hold, HoldReading, LineFit, as_right_hander, find_address_hold, find_view, fit_correction
from review.body import read_holds as read_held_lines
from review.body.response import LINES, Line
from review.errors import BadInputError
from review.jobs.measuring.player_files import PlayerSetup, name_response
from review.lesson import Handedness, View
from review.media import Footage, VideoInfo, probe_video, read_frames
from review.pose import Effort, LandmarkTrack, MediaPipeEstimator, Picture
from review.progress import Progress, silent

# A body that holds still needs no more.
_RATE_HZ = 10.0
_HEIGHT_PX = 1280


@dataclass(frozen=True, eq=False)
class LineCheck:
    """One line: every hold with its reading, and the correction that would follow."""

    readings: tuple[tuple[Hold, HoldReading], ...]
    fit: LineFit

    @property
    def errors_deg(self) -> tuple[float, ...]:
        """Read minus marked of the usable holds."""
        return tuple(reading.error_deg for _, reading in self.readings if not reading.problem)

    @property
    def n_inside(self) -> int:
        """How many usable marks lie inside their 90 % interval."""
        return sum(reading.is_inside for _, reading in self.readings if not reading.problem)

    @property
    def median_deg(self) -> float:
        """Median size of the error."""
        return float(np.median(np.abs(self.errors_deg)))

    @property
    def worst_deg(self) -> float:
        """Largest size of the error."""
        return float(np.max(np.abs(self.errors_deg)))

    @property
    def corrected_median_deg(self) -> float:
        """Median size of the error when each hold is read with the help of the others."""
        return float(np.median(np.abs(self.fit.left_out_deg)))


@dataclass(frozen=True, eq=False)
class AccuracyCheck:
    """All lines of one clip, and what can be kept of it."""

    clip: Path | Footage
    view_found: bool
    address: Hold
    lines: dict[Line, LineCheck]
    setup: PlayerSetup

    @property
    def is_usable(self) -> bool:
        """Whether a line can be corrected by it, so that it is worth keeping."""
        return any(line.readings and not line.fit.why_unused for line in self.lines.values())

    @property
    def is_contradicted(self) -> bool:
        """Whether readings and marks do not go together."""
        return any(line.fit.is_contradicted for line in self.lines.values())


def check_accuracy(
    clip: Path | Footage,
    holds: Sequence[Hold],
    handedness: Handedness,
    view: View | None,
    effort: Effort,
    progress: Progress = silent,
) -> AccuracyCheck:
    """Read held positions in a clip; turns are counted from the address hold, so no camera set-up is needed.

    Parameters
    ----------
    holds : in order of time, see ``read_holds_file``.
    view : None = found from the address hold.

    Raises
    ------
    BadInputError
        When the clip cannot be read, shows no person, or a hold lies outside it.
    """
    info = probe_video(clip)
    for hold in holds:
        if hold.to_s > info.time_s[-1] or hold.from_s < info.time_s[0]:
            raise BadInputError(
                f"{clip.name} runs from {info.time_s[0]:.1f} to {info.time_s[-1]:.1f} s, but a hold is said to be at "
                f"{hold.from_s:g} to {hold.to_s:g} s; correct its times."
            )
    address = holds[find_address_hold(holds)]
    try:
        raw = _track_holds(info, holds, MediaPipeEstimator(effort, handedness is Handedness.LEFT), progress)
        track = _take(as_right_hander(raw, handedness), raw.is_seen)
        found, _ = find_view(_part(track, address))
        read = read_held_lines(track, holds)
    except BadInputError as error:
        raise BadInputError(f"{clip.name}: {error}") from error
    lines = {line: LineCheck(read[line], fit_correction([r for _, r in read[line]])) for line in LINES}
    if not any(check.errors_deg for check in lines.values()):
        raise BadInputError(f"{clip.name}: no hold could be read. {_reasons(read)}")
    readings = {line: tuple(reading for _, reading in read[line]) for line in LINES}
    setup = PlayerSetup(
        track.model,
        view or found,
        handedness,
        (track.width_px, track.height_px),
        name_response(track.model),
        readings,
    )
    return AccuracyCheck(clip, view is None, address, lines, setup)


def _track_holds(
    info: VideoInfo, holds: Sequence[Hold], estimator: MediaPipeEstimator, progress: Progress
) -> LandmarkTrack:
    step = max(1, round(info.frame_rate_hz / _RATE_HZ))
    spans = [tuple(int(i) for i in np.searchsorted(info.time_s, [hold.from_s, hold.to_s])) for hold in holds]
    total = sum(len(range(first, last, step)) for first, last in spans)

    def pictures() -> Iterator[Picture]:
        done = 0
        for first, last in spans:
            for frame in read_frames(info, first, last, step, max_height_px=_HEIGHT_PX):
                yield frame.time_s, frame.rgb
                done += 1
                progress(done, total)

    track = estimator.track(pictures())
    scale = info.height_px / track.height_px
    return replace(track, image_px=track.image_px * scale, width_px=info.width_px, height_px=info.height_px)


def _part(track: LandmarkTrack, hold: Hold) -> LandmarkTrack:
    at = (track.time_s >= hold.from_s) & (track.time_s <= hold.to_s)
    if not at.any():
        raise BadInputError("Nobody was seen in the address hold; hold it for 2 seconds, all of the body in view.")
    return _take(track, at)


def _take(track: LandmarkTrack, frames: NDArray[np.bool_]) -> LandmarkTrack:
    return replace(
        track,
        time_s=track.time_s[frames],
        image_px=track.image_px[frames],
        world_m=track.world_m[frames],
        visibility=track.visibility[frames],
    )


def _reasons(read: dict[Line, tuple[tuple[Hold, HoldReading], ...]]) -> str:
    said = [f"At {hold.from_s:g} s: {reading.problem}." for pairs in read.values() for hold, reading in pairs]
    return " ".join(said[:3])
