"""Search sound of any length for sharp sounds, block by block."""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

import numpy as np

from review.lesson import FloatArray
from review.swing import strike_onset, strike_shape
from review.swing.strike_bands import FRAME_S, find_onsets, measure_bands
from review.swing.strike_onset import place_onsets
from review.swing.strike_shape import describe_shapes, filter_fine

ONE_STRIKE_WITHIN_S = 3.0
"""Nobody strikes two balls within this time; sounds that near rule each other out."""
_CORE_S, _MARGIN_S = 20.0, 1.5
_LEAST_LENGTH_S = 0.1
_ONE_SOUND_S = 0.005
_CROWD_S, _CROWD_DB = 0.6, 10.0

_OWN_NAMES = (*strike_shape.RISE_NAMES, *strike_shape.FORM_NAMES, *strike_onset.RISE_NAMES, *strike_onset.FALL_NAMES)
FEATURE_NAMES = (*_OWN_NAMES, "over_loudest_other_db", "n_alike_near")
RISE_NAMES = (*strike_shape.RISE_NAMES, *strike_onset.RISE_NAMES, "over_loudest_other_db")
"""Features of which more never speaks against a strike."""


@dataclass(frozen=True, eq=False)
class SharpSounds:
    """Sharp sounds in order of time: onset from the sound's first sample in true seconds.

    ``level_db`` of 1.5-8 kHz over full scale, ``strength_db`` over the seconds around; ``features`` (m, n_names) as
    ``FEATURE_NAMES``.
    """

    time_s: FloatArray
    level_db: FloatArray
    strength_db: FloatArray
    features: FloatArray


def search_blocks(blocks: Iterable[FloatArray], rate_hz: float) -> SharpSounds:
    """Find and describe all sharp sounds of a sound that comes in blocks of any length.

    Memory holds some 23 s of the sound at a time.

    Parameters
    ----------
    rate_hz : samples a true second.
    """
    times, levels, strengths, shapes = [np.zeros(0)], [np.zeros(0)], [np.zeros(0)], [np.zeros((0, len(_OWN_NAMES)))]
    for begin, core, piece in _with_margins(blocks, rate_hz):
        if len(piece) < _LEAST_LENGTH_S * rate_hz:
            continue
        power = measure_bands(piece, rate_hz)
        frames = find_onsets(power)
        at = np.round(frames * FRAME_S * rate_hz)
        frames = frames[(at >= core.start) & (at < core.stop)]
        if len(frames) == 0:
            continue
        fine = filter_fine(piece, rate_hz)
        onsets, surprise_db = place_onsets(piece, fine, rate_hz, frames)
        shape, level_db, strength_db = describe_shapes(power, fine, rate_hz, onsets)
        times.append((begin + onsets) / rate_hz)
        levels.append(level_db)
        strengths.append(strength_db)
        shapes.append(np.hstack([shape, surprise_db]))
    time_s, level_db, shape = np.concatenate(times), np.concatenate(levels), np.vstack(shapes)
    order = np.argsort(time_s, kind="stable")
    order = order[np.diff(time_s[order], prepend=-np.inf) > _ONE_SOUND_S]
    time_s, level_db = time_s[order], level_db[order]
    context = _describe_context(time_s, level_db)
    return SharpSounds(time_s, level_db, np.concatenate(strengths)[order], np.hstack([shape[order], context]))


def _with_margins(blocks: Iterable[FloatArray], rate_hz: float) -> Iterator[tuple[int, slice, FloatArray]]:
    """Cut the sound into stretches of 20 s with 1.5 s more to each side: first sample, own part, samples."""
    core, margin = round(_CORE_S * rate_hz), round(_MARGIN_S * rate_hz)
    held, held_from, core_from = np.zeros(0), 0, 0
    for block in blocks:
        held = np.concatenate([held, np.asarray(block, dtype=float)])
        while held_from + len(held) >= core_from + core + margin:
            first = max(0, core_from - margin)
            piece = held[first - held_from : core_from + core + margin - held_from]
            yield first, slice(core_from - first, core_from - first + core), piece
            core_from += core
            keep_from = max(0, core_from - margin)
            held, held_from = held[keep_from - held_from :], keep_from
    first = max(0, core_from - margin)
    yield first, slice(core_from - first, len(held)), held[first - held_from :]


def _describe_context(time_s: FloatArray, level_db: FloatArray) -> FloatArray:
    """How far each sound lies above the loudest other within 3 s, and how many alike lie within 0.6 s."""
    lead_db, n_alike = np.full(len(time_s), 12.0), np.zeros(len(time_s))
    first = np.searchsorted(time_s, time_s - ONE_STRIKE_WITHIN_S)
    last = np.searchsorted(time_s, time_s + ONE_STRIKE_WITHIN_S, side="right")
    for i, (a, b) in enumerate(zip(first, last, strict=True)):
        others = np.arange(a, b) != i
        if others.any():
            other_db = level_db[a:b][others]
            lead_db[i] = np.clip(level_db[i] - other_db.max(), -12.0, 12.0)
            near = np.abs(time_s[a:b][others] - time_s[i]) < _CROWD_S
            n_alike[i] = np.sum(near & (other_db > level_db[i] - _CROWD_DB))
    return np.stack([lead_db, np.minimum(n_alike, 12.0)], axis=1)
