"""Which measures there are, in the order they are told: the lesson's aim first, then the catalogue."""

from collections.abc import Iterable, Sequence

from review.compare.samples import MeasureKey
from review.lesson import KINDS, AimMeasure, KeyFrameName

_KEY_FRAMES = [k.value for k in KeyFrameName]


def keys_in_order(
    by_swing: Iterable[Iterable[MeasureKey]], aim_measures: Sequence[AimMeasure]
) -> tuple[list[MeasureKey], list[MeasureKey]]:
    """Keys of the aim in its order (also what was not measured), and all others in the catalogue's.

    An aim measure without a key frame takes in all key frames at which it was measured.
    """
    names = list(KINDS)
    seen = {key for keys in by_swing for key in keys}
    in_catalogue = sorted(seen, key=lambda key: (names.index(key[0]), _place(key[1]), key[1]))
    aim: list[MeasureKey] = []
    for wanted in aim_measures:
        key = (wanted.name, wanted.key_frame)
        if key in seen or wanted.key_frame:
            expanded = [key]
        else:
            expanded = [other for other in in_catalogue if other[0] == wanted.name] or [key]
        aim.extend(k for k in expanded if k not in aim)
    return aim, [key for key in in_catalogue if key not in aim]


def _place(key_frame: str) -> int:
    return _KEY_FRAMES.index(key_frame) if key_frame in _KEY_FRAMES else -1
