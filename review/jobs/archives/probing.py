"""Whether files of an archive are what its rows say: they are looked into, not taken by their names."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from review.errors import BadInputError
from review.media import Footage, probe_video, read_voice

_MOST_SIDE_PX = 8192
"""Twice what cameras film in today; an encoder allows far more, and one picture of that would fill the memory."""


def check_clip(path: Path, rows: Sequence[Mapping[str, Any]]) -> None:
    """Refuse a file that is no video, too large a picture, or has other frames than the clips that are made of it.

    Raises
    ------
    BadInputError
        It is not what ``rows`` of the table of clips say.
    """
    for row in rows:
        name = row["original_name"]
        try:
            info = probe_video(Footage(path, row["begin_s"], row["end_s"]))
        except BadInputError as error:
            raise _refused(f"'{name}' in it cannot be played as a video") from error
        if max(info.width_px, info.height_px) > _MOST_SIDE_PX:
            raise _refused(f"'{name}' in it has pictures of {info.width_px} x {info.height_px}")
        if row["n_frames"] != info.n_frames:
            raise _refused(f"'{name}' in it has {info.n_frames} frames and should have {row['n_frames']}")


def check_voice(path: Path) -> None:
    """Refuse a file that cannot be heard.

    Raises
    ------
    BadInputError
        It holds no sound.
    """
    try:
        read_voice(path)
    except BadInputError as error:
        raise _refused("a voice in it cannot be heard") from error


def _refused(what: str) -> BadInputError:
    return BadInputError(f"This archive is not what it says: {what}. Have it sent again; nothing was changed.")
