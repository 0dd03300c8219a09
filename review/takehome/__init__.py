"""What the pupil gets: clips side by side locked at impact, one page, one sheet, the numbers as a table."""

from review.takehome.clip_sides import Alone, ClipSide, Pair, Pointer, SwingNumber
from review.takehome.clips.files import ClipChoice
from review.takehome.clips.layout import Form
from review.takehome.clips.passages import FREEZE_AT
from review.takehome.clips.rendering import MOST_BYTES, ClipOptions, render_clip, render_pair
from review.takehome.clips.title import TitleCard
from review.takehome.contents import (
    USUAL_CAUTIONS,
    BatchWords,
    Chart,
    ChartPoint,
    FeltMeasured,
    Ground,
    Picture,
    Row,
    TakeHome,
    TalkVideo,
)
from review.takehome.folder import recover_folder
from review.takehome.picture_cover import PictureCover
from review.takehome.writing import write_takehome

__all__ = [
    "FREEZE_AT",
    "MOST_BYTES",
    "USUAL_CAUTIONS",
    "Alone",
    "BatchWords",
    "Chart",
    "ChartPoint",
    "ClipChoice",
    "ClipOptions",
    "ClipSide",
    "FeltMeasured",
    "Form",
    "Ground",
    "Pair",
    "Picture",
    "Pointer",
    "PictureCover",
    "Row",
    "SwingNumber",
    "TakeHome",
    "TalkVideo",
    "TitleCard",
    "recover_folder",
    "render_clip",
    "render_pair",
    "write_takehome",
]
