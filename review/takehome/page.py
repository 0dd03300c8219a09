"""The page: one file that opens on a phone, asks nothing of the net and can be read without scripts."""

import base64
import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from importlib import resources

from jinja2 import Environment, PackageLoader, StrictUndefined

from review.charts.looks import look_of
from review.compare import Verdict
from review.takehome.chart import draw_chart
from review.takehome.clip_sides import Pair, is_firm
from review.takehome.clips_apart import ClipsApart
from review.takehome.contents import BODY_NUMBERS, VERDICT_WORDS, Picture, Row, TakeHome, TalkVideo
from review.takehome.text import capitalise, clean, say_date

MOST_CLIP_BYTES = 7_500_000
"""Clips embedded in a page, before base64 makes four bytes of three: the page stays about 10 MB."""
_VERDICT_MARKS = {Verdict.CLEAR: "●", Verdict.LIKELY: "◐"}


@dataclass(frozen=True, eq=False)
class PageClip:
    """A pair on the page: the small clip (empty when the page would grow too large), a still, the file's name.

    ``apart`` are both clips alone for the player in step, None when the page would grow too large.
    """

    pair: Pair
    file_name: str
    small_mp4: bytes
    still_jpeg: bytes
    apart: ClipsApart | None = None

    @property
    def key_names(self) -> tuple[str, ...]:
        """Names of the key frames that both clips have, in order of time."""
        if self.apart is None:
            return ()
        first, last = ([name for name, _ in clip.key_pictures] for clip in self.apart.clips)
        return tuple(dict.fromkeys(name for name in first if name in last))


def format_page(contents: TakeHome, clips: tuple[PageClip, ...], talks: tuple[TalkVideo, ...] = ()) -> str:
    """Return the page as HTML; every text is escaped, clips and pictures are part of it."""
    environment = Environment(
        loader=PackageLoader("review.takehome"),
        autoescape=True,
        undefined=StrictUndefined,
        trim_blocks=True,
    )
    environment.filters |= {"clean": clean, "capitalised": capitalise, "data": _to_data_url, "as_json": _to_json}
    environment.globals |= {"look_of": look_of, "verdict_mark": verdict_mark, "is_firm": is_firm}
    looks = [look_of(number) for number in range(1, 6)]
    style = environment.get_template("page.css").render(looks=looks)
    script = (resources.files("review.takehome") / "templates" / "page.js").read_text(encoding="utf-8")
    measured = [row for row in contents.rows if row.is_measured]
    values: dict[str, object] = {
        "t": contents,
        "day": say_date(contents.held_on),
        "verdict_words": VERDICT_WORDS,
        "body_numbers": BODY_NUMBERS if contents.has_body_numbers else "",
        "aim_rows": [row for row in contents.rows if row.in_aim],
        "other_rows": [row for row in measured if not row.in_aim],
        "missing_labels": [clean(row.label) for row in contents.rows if not row.is_measured and not row.in_aim],
        "clips": clips,
        "talks": talks,
        "charts": [drawn for chart in contents.charts if (drawn := draw_chart(chart)) is not None],
        "strips": [_describe_picture(picture) for picture in contents.strips],
        "pictures": [_describe_picture(picture) for picture in contents.pictures],
        "ground": None if contents.ground is None else _describe_picture(contents.ground.picture),
        "style": style,
        "script": script,
        "style_hash": _hash(style),
        "script_hash": _hash(script),
    }
    return environment.get_template("page.html").render(**values, parts=list(_list_parts(values, contents)))


def _list_parts(values: Mapping[str, object], contents: TakeHome) -> Iterable[tuple[str, str]]:
    """The parts that a page so long is entered by: place and words."""
    if values["clips"]:
        yield "clips", "Clips"
    if values["talks"]:
        yield "talks", "Your coach talks"
    if values["aim_rows"]:
        yield "changed", "What changed"
    if contents.felt_measured:
        yield "felt", "The feel"
    if contents.practice or clean(contents.check_alone):
        yield "practice", "Practice"


def _hash(text: str) -> str:
    """The source that a content security policy allows: this text and no other (CSP level 3, 2.3.1)."""
    return "sha256-" + base64.b64encode(hashlib.sha256(text.encode("utf-8")).digest()).decode("ascii")


def _to_data_url(data: bytes, kind: str) -> str:
    return f"data:{kind};base64,{base64.b64encode(data).decode('ascii')}"


def _to_json(pairs: Sequence[tuple[str, int]]) -> str:
    return json.dumps(pairs)


def _describe_picture(picture: Picture) -> Mapping[str, str]:
    light, dark = (_to_data_url(svg, "image/svg+xml") if svg else "" for svg in (picture.svg, picture.svg_dark))
    return {"title": picture.title, "words": picture.words, "light": light, "dark": dark}


def choose_embedded(
    clips: tuple[PageClip, ...], talks: tuple[TalkVideo, ...] = ()
) -> tuple[tuple[PageClip, ...], tuple[TalkVideo, ...]]:
    """Return clips and talks, those beyond ``MOST_CLIP_BYTES`` without their video.

    Both together go before the player, the player before the talks.
    """
    left, chosen = MOST_CLIP_BYTES, []
    for clip in clips:
        fits = len(clip.small_mp4) <= left
        left -= len(clip.small_mp4) if fits else 0
        chosen.append(clip if fits else replace(clip, small_mp4=b""))
    for n, clip in enumerate(chosen):
        if clip.apart is not None:
            fits = clip.apart.n_bytes <= left
            left -= clip.apart.n_bytes if fits else 0
            chosen[n] = clip if fits else replace(clip, apart=None)
    shown = []
    for talk in talks:
        fits = len(talk.small_mp4) <= left
        left -= len(talk.small_mp4) if fits else 0
        shown.append(talk if fits else replace(talk, small_mp4=b""))
    return tuple(chosen), tuple(shown)


def verdict_mark(row: Row) -> str:
    """Return a mark that goes before the verdict's words: full, half or empty."""
    return "○" if row.verdict is None else _VERDICT_MARKS.get(row.verdict, "○")
