"""The page: one file that opens on a phone, asks nothing of the net and runs no script."""

import base64
from collections.abc import Mapping
from dataclasses import dataclass

from jinja2 import Environment, PackageLoader, StrictUndefined

from review.charts.looks import look_of
from review.takehome.chart import draw_chart
from review.takehome.contents import BODY_NUMBERS, VERDICT_WORDS, Pair, Picture, Row, TakeHome
from review.takehome.text import clean, say_date

MOST_CLIP_BYTES = 10_500_000
"""Clips embedded in a page, before base64 makes four bytes of three: the page stays below 15 MB."""
_VERDICT_MARKS = {"clear": "●", "likely": "◐"}


@dataclass(frozen=True, eq=False)
class PageClip:
    """A pair on the page: the small clip (empty when the page would grow too large), a still, the file's name."""

    pair: Pair
    file_name: str
    small_mp4: bytes
    still_jpeg: bytes


def format_page(contents: TakeHome, clips: tuple[PageClip, ...]) -> str:
    """Return the page as HTML; every text is escaped, clips and pictures are part of it."""
    environment = Environment(
        loader=PackageLoader("review.takehome"), autoescape=True, undefined=StrictUndefined, trim_blocks=True
    )
    environment.filters["clean"] = clean
    environment.globals["look_of"] = look_of
    environment.globals["verdict_mark"] = verdict_mark
    environment.globals["is_firm"] = is_firm
    return environment.get_template("page.html").render(
        t=contents,
        day=say_date(contents.held_on),
        verdict_words=VERDICT_WORDS,
        body_numbers=BODY_NUMBERS,
        aim_rows=[row for row in contents.rows if row.in_aim],
        clips=[_describe(clip) for clip in choose_embedded(clips)],
        charts=[drawn for chart in contents.charts if (drawn := draw_chart(chart)) is not None],
        strips=[_describe_picture(picture) for picture in contents.strips],
        pictures=[_describe_picture(picture) for picture in contents.pictures],
        looks=[look_of(number) for number in range(1, 6)],
    )


def _describe_picture(picture: Picture) -> Mapping[str, str]:
    svg = base64.b64encode(picture.svg).decode("ascii")
    return {"title": picture.title, "words": picture.words, "svg": svg}


def choose_embedded(clips: tuple[PageClip, ...]) -> tuple[PageClip, ...]:
    """Return the clips, those beyond ``MOST_CLIP_BYTES`` without their video."""
    left, chosen = MOST_CLIP_BYTES, []
    for clip in clips:
        fits = len(clip.small_mp4) <= left
        left -= len(clip.small_mp4) if fits else 0
        chosen.append(clip if fits else PageClip(clip.pair, clip.file_name, b"", clip.still_jpeg))
    return tuple(chosen)


def verdict_mark(row: Row) -> str:
    """Return a mark that goes before the verdict's words: full, half or empty."""
    return next((mark for word, mark in _VERDICT_MARKS.items() if clean(row.verdict_words).startswith(word)), "○")


def is_firm(row: Row) -> bool:
    """Whether a change may be shown as one: clear or likely, not what cannot be told from none."""
    return verdict_mark(row) != "○"


def _describe(clip: PageClip) -> Mapping[str, object]:
    return {
        "pair": clip.pair,
        "file_name": clip.file_name,
        "mp4": base64.b64encode(clip.small_mp4).decode("ascii"),
        "jpeg": base64.b64encode(clip.still_jpeg).decode("ascii"),
    }
