"""Chooses the strike in a clip that arrived by where its camera's clips of the day have theirs, and how loud."""

from collections.abc import Iterable, Mapping
from dataclasses import replace

import numpy as np

from review.lesson import Clip
from review.swing.strike import Strike, choose_together

_LATEST = 20
"""So many clips of a camera tell its habit: it may have been put elsewhere since."""


class StrikeChoice:
    """Remembers what was heard in the clips of this run; of earlier runs the library has all but the levels."""

    def __init__(self) -> None:
        self._heard: dict[str, tuple[Strike, ...]] = {}

    def choose(self, clip: Clip, heard: tuple[Strike, ...], day: Iterable[Clip]) -> Mapping[str, Clip]:
        """Return the clip with its strike, and those of this run whose strike is another by what is known now, by id.

        Parameters
        ----------
        heard : all sounds of the clip that may be its strike.
        day : clips of the day so far, of any camera, in order of arrival.
        """
        if not heard:
            return {clip.id: clip}
        self._heard[clip.id] = heard
        alike = [
            one
            for one in day
            if one.id != clip.id and one.strikes and (one.camera, one.time_scale) == (clip.camera, clip.time_scale)
        ][-_LATEST:]
        members = [*alike, clip]
        chosen = choose_together([self._sounds(one) for one in members], clip.time_scale)
        strikes = [None if strike is None else strike.time_s for strike in chosen]
        return {
            one.id: replace(one, strike_s=strike_s)
            for one, strike_s in zip(members, strikes, strict=True)
            if one.id == clip.id or (one.id in self._heard and one.strike_s != strike_s)
        }

    def _sounds(self, clip: Clip) -> tuple[Strike, ...]:
        kept = (Strike(time_s, np.nan, certainty) for time_s, certainty in clip.strikes)
        return self._heard.get(clip.id) or tuple(kept)
