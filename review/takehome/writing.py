"""Writes the whole take-home: clips, page, sheet and table, all or nothing."""

import os
from collections.abc import Callable, Sequence
from contextlib import nullcontext
from pathlib import Path

from review.media import read_frames
from review.progress import Progress, silent
from review.takehome.clip_sides import Pair
from review.takehome.clips.files import ClipChoice, ClipFile, list_all
from review.takehome.clips.rendering import find_small_impact
from review.takehome.clips.title import TitleCard
from review.takehome.clips_apart import count_apart, render_apart
from review.takehome.contents import TakeHome, TalkVideo
from review.takehome.folder import replacing_folder
from review.takehome.page import PageClip, choose_embedded, format_page
from review.takehome.sheet import SheetStill, format_sheet
from review.takehome.stills import read_still, to_jpeg
from review.takehome.table import format_measures
from review.takehome.text import say_date
from review.takehome.zipped import replacing_zip

PAGE, SHEET, TABLE = "index.html", "sheet.pdf", "measures.csv"
_SHEET_KEY_FRAMES = ("top", "impact", "finish")
_PARTS_AFTER_CLIPS = 3
"""Page, sheet and table, each a step of the progress."""


WriteTalks = Callable[[Path, int, Progress], Sequence[TalkVideo]]
"""Writes the coach's talks into the folder, numbered from that number on, and returns them."""


def write_takehome(
    contents: TakeHome,
    to: str | os.PathLike[str],
    progress: Progress = silent,
    write_talks: WriteTalks | None = None,
    choice: ClipChoice | None = None,
    with_zip: bool = False,
) -> Path:
    """Write a take-home into the folder ``to`` and return its page.

    An earlier take-home there is replaced in one step; until then, and on any error or cancel, it
    stays as it was.

    Parameters
    ----------
    contents
        What it says; consent has been asked for.
    to
        A new or empty folder, or one with an earlier take-home. Missing parents are made.
    progress
        Called with steps done and their number; may raise ``Cancelled``.
    write_talks
        Writes the coach's talks beside the other clips.
    choice
        Which clips and how; None = the usual ones.
    with_zip
        Write the same beside it as one zip.

    Raises
    ------
    BadInputError
        ``to`` holds something else, or a clip cannot be used.
    MachineError
        The disk is full or not writable, or the encoder is missing.
    """
    target = Path(to).expanduser()
    card = TitleCard(contents.pupil_name, say_date(contents.held_on), contents.worked_on or contents.aim)
    with replacing_zip(target) if with_zip else nullcontext() as pack, replacing_folder(target) as folder:
        listed = tuple(list_all(contents.pairs, choice or ClipChoice(), card))
        n_pictures = [sum(file.count() for file in files) + count_apart(pair) for pair, files in listed]
        total = sum(n_pictures) + _PARTS_AFTER_CLIPS
        progress(0, total)
        clips: list[PageClip] = []
        done = 0
        for (pair, files), n in zip(listed, n_pictures, strict=True):
            clips.append(_write_clips(pair, files, folder, done, total, progress))
            done += n
        talks: Sequence[TalkVideo] = ()
        if write_talks is not None:
            number = 1 + sum(len(files) for _, files in listed)
            talks = write_talks(folder, number, lambda *_: progress(done, total))
        page = format_page(contents, *choose_embedded(tuple(clips), tuple(talks)))
        _write(folder / PAGE, page.encode("utf-8"))
        progress(total - 2, total)
        _write(folder / SHEET, format_sheet(contents, _read_stills(contents)))
        progress(total - 1, total)
        _write(folder / TABLE, format_measures(contents).encode("utf-8"))
        if pack is not None:
            pack(folder)
        progress(total, total)  # the last place to be cancelled at: from here on it is moved in
    return target / PAGE


def _write_clips(
    pair: Pair, files: tuple[ClipFile, ...], folder: Path, done: int, total: int, progress: Progress
) -> PageClip:
    small = folder / "small.mp4"
    n_before = 0

    def report(n: int, _: int) -> None:
        progress(min(done + n_before + n, total), total)

    rendered = files[0].write(folder, report, small)
    poster = next(read_frames(small, start=find_small_impact(rendered)))
    small_mp4 = small.read_bytes()
    small.unlink()
    for before, file in zip(files, files[1:], strict=False):
        n_before += before.count()
        file.write(folder, report)
    n_before += files[-1].count()
    return PageClip(pair, files[0].name, small_mp4, to_jpeg(poster.rgb), render_apart(pair, folder, report))


def _read_stills(contents: TakeHome) -> list[SheetStill]:
    if not contents.pairs:
        return []
    stills = [(name, read_still(contents.pairs[0], name)) for name in _SHEET_KEY_FRAMES]
    return [SheetStill(name, still) for name, still in stills if still is not None]


def _write(path: Path, data: bytes) -> None:
    path.write_bytes(data)
