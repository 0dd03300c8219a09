"""Landmarks that an archive brings: taken only under the name that today's inputs give them."""

import io
import zipfile
from collections.abc import Sequence
from pathlib import Path

from review.errors import BadInputError
from review.jobs.measuring.kept_landmarks import list_kept, load_landmarks
from review.lesson import Clip, Handedness
from review.library import Library
from review.takehome.archive import Archive

_MOST_BYTES = 200_000_000


def bring_landmarks(library: Library, archive: Archive, clips: Sequence[Clip], handedness: Handedness) -> int:
    """Keep the landmarks that are not here yet; return how many.

    They can be found again at any time, so what is damaged or of another pose model is left out.
    """
    brought = 0
    known = archive.manifest.landmarks
    by_key = {key: name for name, key in known.items() if name in archive.manifest.files}
    for clip in clips:
        for key, path in list_kept(library, clip, handedness).items():
            if key not in by_key or path.exists():
                continue
            name = by_key[key]

            def write(to: Path, name: str = name) -> None:
                archive.copy(name, to)
                _check_unpacked(to)

            try:
                library.write_derived(path, write, clip.content, archive.manifest.files[name][1])
            except BadInputError:
                continue
            if load_landmarks(library, clip, handedness) is None:
                library.remove_derived(path)
            else:
                brought += 1
    return brought


def _check_unpacked(path: Path) -> None:
    try:
        with zipfile.ZipFile(io.BytesIO(path.read_bytes())) as packed:
            size = sum(part.file_size for part in packed.infolist())
    except (zipfile.BadZipFile, ValueError, NotImplementedError, RuntimeError) as error:
        raise BadInputError("The landmarks in this archive are damaged.") from error
    if size > _MOST_BYTES:
        raise BadInputError("The landmarks in this archive unpack to far too much.")
