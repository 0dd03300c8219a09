"""Which clips are written of a pair, and their names: in order, so that they tell the lesson without the page."""

import re
from collections.abc import Iterator
from dataclasses import dataclass, field
from pathlib import Path

from review.progress import Progress
from review.takehome.clip_sides import Alone, Pair, Shown
from review.takehome.clips.layout import Form
from review.takehome.clips.rendering import ClipOptions, Rendered, count_pictures, render_clip
from review.takehome.clips.title import TitleCard


@dataclass(frozen=True)
class ClipChoice:
    """What the coach chose for all clips: upright, wide or both; each swing by itself too."""

    options: ClipOptions = field(default_factory=ClipOptions)
    forms: tuple[Form, ...] = (Form.PORTRAIT,)
    with_singles: bool = True


@dataclass(frozen=True, eq=False)
class ClipFile:
    """A clip to be written."""

    name: str
    shown: Shown
    options: ClipOptions
    card: TitleCard

    def count(self) -> int:
        """Return how many pictures it has; errors as for :func:`render_clip`."""
        return count_pictures(self.shown, self.card, self.options)

    def write(self, folder: Path, progress: Progress, small_path: Path | None = None) -> Rendered:
        """Write it into a folder; see :func:`render_clip`."""
        return render_clip(self.shown, folder / self.name, self.card, self.options, progress, small_path)


def list_clip_files(pair: Pair, number: int, choice: ClipChoice, card: TitleCard) -> tuple[ClipFile, ...]:
    """Return the clips of a pair, both together first; ``number`` is the first one's."""
    together = "first-and-last"
    kinds: list[tuple[str, Shown]] = [(together, pair)]
    if choice.with_singles:
        title = pair.title if pair.first.batch_number == pair.last.batch_number else ""
        kinds += [(n, Alone(side, pair.view, title)) for n, side in zip(("first", "last"), pair.sides, strict=True)]
    files: list[ClipFile] = []
    for form, (what, shown) in ((form, kind) for form in choice.forms for kind in kinds):
        wide = "-wide" if form is Form.LANDSCAPE else ""
        options = ClipOptions(form, choice.options.freeze_at, choice.options.with_sound, choice.options.most_bytes)
        name = f"{number + len(files):02d}-{slug(pair.view)}-{what}{wide}.mp4"
        files.append(ClipFile(name, shown, options, card))
    return tuple(files)


def list_all(
    pairs: tuple[Pair, ...], choice: ClipChoice, card: TitleCard
) -> Iterator[tuple[Pair, tuple[ClipFile, ...]]]:
    """Yield every pair with its clips, numbered through."""
    number = 1
    for pair in pairs:
        files = list_clip_files(pair, number, choice, card)
        number += len(files)
        yield pair, files


def slug(text: str) -> str:
    """Return letters and digits for a file name that every system takes."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:30] or "clips"
