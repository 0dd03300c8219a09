"""What a coach calls a camera: the name that was given, or from where it looks where the name says nothing."""

import re
from collections import Counter
from collections.abc import Iterable

from review.lesson import Clip

_SAYS_NOTHING = re.compile(r"(?:cam|camera|clip|clips|video|videos)?[ _-]*\d*", re.IGNORECASE)


def name_cameras(clips: Iterable[Clip]) -> dict[str, str]:
    """Words for every camera of these clips, by its name.

    A name such as 'cam1' gives way to the view, 'face-on' or 'down-the-line', once the library knows it (given, or
    found when a clip is measured). Cameras of one view keep their names, in brackets.
    """
    views: dict[str, Counter[str]] = {}
    for clip in clips:
        views.setdefault(clip.camera, Counter()).update([clip.view.value] if clip.view is not None else [])
    words = {
        camera: seen.most_common(1)[0][0] if seen and _SAYS_NOTHING.fullmatch(camera) else camera
        for camera, seen in views.items()
    }
    n_called = Counter(words.values())
    return {
        camera: (f"{text} ({camera})" if camera and n_called[text] > 1 and text != camera else text)
        or "a camera without a name"
        for camera, text in words.items()
    }
