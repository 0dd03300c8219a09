"""How fast a clip plays: slow-motion files told from ordinary ones by tempo, frame rates and sound."""

import math
from dataclasses import dataclass

import numpy as np
from scipy.ndimage import gaussian_filter1d

from review.body import compute_stature_px, middle_px
from review.body.golfer import LEAD_WRIST, TRAIL_WRIST
from review.errors import BadInputError
from review.lesson import FloatArray, KeyFrameName
from review.media import Audio
from review.pose import LandmarkTrack
from review.swing.key_frames import NO_SWING, STRIKE_WITHIN_S, find_key_frames
from review.swing.strike import choose_strike, find_strikes, measure_top_hz

CLEAR = 0.95

# Rates of files and of cameras, frames a second; a measured rate this near to one of them is that one.
_NOMINAL_HZ = (24.0, 25.0, 30.0, 50.0, 60.0, 100.0, 120.0, 240.0, 480.0, 960.0)
_SAME_RATE = 0.04
# How often a slow-motion file was taken at which rate, common practice, no source. 30 played at 24 is hardly slow.
_CAPTURED_AT_HZ = {30.0: 0.01, 60.0: 0.10, 120.0: 0.35, 240.0: 0.46, 480.0: 0.04, 960.0: 0.04}
_CAPTURED_AT_HZ_AT_25 = {50.0: 0.05, 100.0: 0.35} | {hz: 0.6 * part for hz, part in _CAPTURED_AT_HZ.items()}
_UNKNOWN_RATE_SLOWED = {0.5: 0.2, 0.25: 0.4, 0.125: 0.4}
# How often a file is slow motion at all, by the highest rate at which it plays; common practice, no source: mostly 30.
_SLOW_FILES = {31.0: 0.2, 61.0: 0.05, math.inf: 0.02}
# How often a file has no sound: phones mostly leave it out of slow motion. Common practice, no source.
_SILENT_AT_SPEED, _SILENT_SLOWED = 0.15, 0.6
_TAG_IS_TRUE = 0.97

# Natural logarithms of seconds: 0.20-0.35 s down and 0.8-1.45 s in all hold 90 % of golfers. Around 0.80:0.27 s,
# 0.70:0.23 to 1.00:0.33 for professionals (Grober & Cholewicki, arXiv physics/0611291), 0.8-0.9 s back (McTeigue et
# al. 1994, Science and Golf II); widened for amateurs, who are slower, and for events seen 0.05-0.1 s off.
_DOWN, _DOWN_SD = math.log(0.265), 0.23
_WHOLE, _WHOLE_SD = math.log(1.08), 0.20
_TEMPO_CORRELATION = 0.5
# Events found wrongly, or no swing at all: any time within a factor of 15 down and of 20 in all.
_NO_TEMPO, _NO_TEMPO_DENSITY_DOWN, _NO_TEMPO_DENSITY_WHOLE = 0.03, 1 / math.log(15), 1 / math.log(20)

_HIGHEST_RECORDED_HZ = 24_000.0
# What slowing leaves just above its limit, and the width of the bands.
_FILTER_EDGE = 0.35
# Editors often keep the pitch when they slow sound, then it reaches as high as before; no source.
_SOUND_OF_OTHER_SPEED = 0.25

# The hands of rendered swings come down at 2.1 to 3.1 statures a second; only this order matters.
_USUAL_SPEED = 2.4
_TRIED_SCALES = 2.0 ** np.arange(0.5, -6.01, -0.25)
_SMOOTHED_S = 0.025
_LEAST_DROP = 0.25
_SURE_OF_START = 0.5


@dataclass(frozen=True)
class FoundTimeScale:
    """The time scale of one clip: true time = presentation time x ``time_scale``.

    ``probabilities`` holds every scale thought of with its probability, the likeliest first; ``downswing_s`` (top to
    impact) and ``swing_s`` (address to impact, None when the start is not in the clip) are times as the file plays,
    ``rate_hz`` its frames a second (the nominal rate where one is near).
    """

    probabilities: tuple[tuple[float, float], ...]
    downswing_s: float
    swing_s: float | None
    rate_hz: float
    has_sound: bool
    capture_rate_hz: float | None

    @property
    def time_scale(self) -> float:
        """The likeliest scale."""
        return self.probabilities[0][0]

    @property
    def probability(self) -> float:
        """How likely that one is."""
        return self.probabilities[0][1]

    @property
    def is_clear(self) -> bool:
        """Whether it need not be asked."""
        return self.probability >= CLEAR


def find_time_scale(
    track: LandmarkTrack, audio: Audio | None = None, capture_rate_hz: float | None = None
) -> FoundTimeScale:
    """Find how fast a clip plays, one speed from end to end.

    Parameters
    ----------
    track : a right-hander's track (see ``as_right_hander``) with every frame of the clip at its presentation time.
    audio : the clip's sound, None when it has none.
    capture_rate_hz : frames a second that the camera took by its own note in the file.

    Raises
    ------
    BadInputError
        When no swing is seen.

    Notes
    -----
    Bayes over the scales that the rates of files and cameras allow: how often each occurs; the durations of downswing
    and swing against published tempo; sound that is missing, or a strike that reaches higher than slowed sound can
    (24 kHz, half the usual sampling rate, x scale). Key frames are found in the swing's own time: at the scale at which
    its hands come down as fast as usual, so that nothing is assumed about the speed that is looked for.
    """
    down_s, whole_s, impact_s, own_scale = _time_the_swing(track)
    rate_hz = _as_nominal(float(1.0 / np.median(np.diff(track.time_s))))
    top_hz = None if audio is None else _hear_top_hz(audio, impact_s, own_scale)
    scales = _scales(rate_hz, capture_rate_hz)
    weights = {
        scale: prior
        * _tempo_likelihood(down_s * scale, None if whole_s is None else whole_s * scale)
        * _sound_likelihood(scale, audio is not None, top_hz)
        for scale, prior in scales.items()
    }
    total = sum(weights.values())
    ordered = sorted(((scale, weight / total) for scale, weight in weights.items()), key=lambda pair: -pair[1])
    return FoundTimeScale(tuple(ordered), down_s, whole_s, rate_hz, audio is not None, capture_rate_hz)


def scale_of_capture(rate_hz: float, capture_rate_hz: float | None) -> float:
    """Time scale of a file by the camera's own note; 1 when it has none or notes no more frames than are played."""
    if capture_rate_hz is None:
        return 1.0
    plays_hz, taken_hz = _as_nominal(rate_hz), _as_nominal(capture_rate_hz)
    return plays_hz / taken_hz if taken_hz > plays_hz * (1 + _SAME_RATE) else 1.0


def _as_nominal(rate_hz: float) -> float:
    nearest = min(_NOMINAL_HZ, key=lambda nominal: abs(math.log(rate_hz / nominal)))
    return nearest if abs(rate_hz / nearest - 1) <= _SAME_RATE else rate_hz


def _scales(rate_hz: float, capture_rate_hz: float | None) -> dict[float, float]:
    """Return the scales thought of, each with its probability before the swing was looked at."""
    if rate_hz in _NOMINAL_HZ:
        table = _CAPTURED_AT_HZ_AT_25 if rate_hz in (25.0, 50.0) else _CAPTURED_AT_HZ
        slowed = {rate_hz / hz: part for hz, part in table.items() if hz > rate_hz}
    else:
        slowed = dict(_UNKNOWN_RATE_SLOWED)
    noted = None if capture_rate_hz is None else scale_of_capture(rate_hz, capture_rate_hz)
    if noted is not None and noted < 1:
        slowed.setdefault(noted, min(_CAPTURED_AT_HZ.values()))
    slow_files = next(part for highest_hz, part in _SLOW_FILES.items() if rate_hz <= highest_hz)
    parts = sum(slowed.values())
    scales = {1.0: 1.0 - slow_files} | {scale: slow_files * part / parts for scale, part in slowed.items()}
    if noted is None:
        return scales
    return {
        scale: part * (_TAG_IS_TRUE if scale == noted else (1 - _TAG_IS_TRUE) / max(1, len(scales) - 1))
        for scale, part in scales.items()
    }


def _time_the_swing(track: LandmarkTrack) -> tuple[float, float | None, float, float]:
    """Downswing, whole swing and impact in presentation seconds, and the scale of the swing's own time."""
    own_scale = _own_scale(track)
    at = {k.name: k for k in find_key_frames(track, own_scale)}
    address, top, impact = (at.get(n.value) for n in (KeyFrameName.ADDRESS, KeyFrameName.TOP, KeyFrameName.IMPACT))
    if address is None or top is None or impact is None or impact.time_s <= top.time_s:
        raise BadInputError(NO_SWING)
    height = _hand_height(track)
    if np.ptp(np.interp([top.time_s, impact.time_s], track.time_s, height)) < _LEAST_DROP:
        raise BadInputError(NO_SWING)
    whole_s = impact.time_s - address.time_s if address.certainty >= _SURE_OF_START else None
    return impact.time_s - top.time_s, whole_s, impact.time_s, own_scale


def _hand_height(track: LandmarkTrack) -> FloatArray:
    """(n,) height of the hands in statures, + up, from the top edge of the picture."""
    size = compute_stature_px(track, slice(0, max(3, len(track.time_s) // 6)))
    return np.asarray(-middle_px(track, LEAD_WRIST, TRAIL_WRIST)[:, 1] / size)


def _own_scale(track: LandmarkTrack) -> float:
    """Largest scale at which the hands come down as fast as usual."""
    height = _hand_height(track)
    for scale in _TRIED_SCALES:
        sd_s = _SMOOTHED_S / scale
        time_s = np.arange(track.time_s[0], track.time_s[-1], sd_s / 4)
        if len(time_s) < 8:
            break
        smooth = gaussian_filter1d(np.interp(time_s, track.time_s, height), 4.0, mode="nearest")
        if -np.gradient(smooth, sd_s / 4).min() / scale >= _USUAL_SPEED:
            return float(scale)
    raise BadInputError(NO_SWING)


def _hear_top_hz(audio: Audio, impact_s: float, own_scale: float) -> float | None:
    samples = audio.samples.astype(float)
    strikes = find_strikes(samples, audio.rate_hz, audio.start_s, own_scale)
    # how fast it plays is not known yet, so a strike may look unlike one
    strike = choose_strike(strikes, impact_s, STRIKE_WITHIN_S, own_scale, least_certainty=0.0)
    return None if strike is None else measure_top_hz(samples, audio.rate_hz, audio.start_s, strike.time_s)


def _tempo_likelihood(down_s: float, whole_s: float | None) -> float:
    """Density of a downswing and a swing of these true lengths, over their logarithms."""
    down = (math.log(down_s) - _DOWN) / _DOWN_SD
    if whole_s is None:
        density = math.exp(-(down**2) / 2) / (_DOWN_SD * math.sqrt(2 * math.pi))
        return (1 - _NO_TEMPO) * density + _NO_TEMPO * _NO_TEMPO_DENSITY_DOWN
    whole = (math.log(whole_s) - _WHOLE) / _WHOLE_SD
    rest = 1 - _TEMPO_CORRELATION**2
    squared = (down**2 + whole**2 - 2 * _TEMPO_CORRELATION * down * whole) / rest
    density = math.exp(-squared / 2) / (2 * math.pi * _DOWN_SD * _WHOLE_SD * math.sqrt(rest))
    return (1 - _NO_TEMPO) * density + _NO_TEMPO * _NO_TEMPO_DENSITY_DOWN * _NO_TEMPO_DENSITY_WHOLE


def _sound_likelihood(scale: float, has_audio: bool, top_hz: float | None) -> float:
    silent = _SILENT_AT_SPEED if scale == 1.0 else _SILENT_SLOWED
    if not has_audio:
        return silent
    if top_hz is None:
        return 1 - silent
    reach_hz = _HIGHEST_RECORDED_HZ * scale
    slowed_with_picture = 1 / reach_hz if top_hz <= reach_hz * (1 + _FILTER_EDGE) else 0.0
    other = 1 / _HIGHEST_RECORDED_HZ
    return (1 - silent) * ((1 - _SOUND_OF_OTHER_SPEED) * slowed_with_picture + _SOUND_OF_OTHER_SPEED * other)
