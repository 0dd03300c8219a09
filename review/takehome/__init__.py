"""What the pupil gets: clips side by side locked at impact, one page, one sheet, the numbers as a table."""

from review.takehome.contents import (
    USUAL_CAUTIONS,
    BatchWords,
    Chart,
    ChartPoint,
    ClipSide,
    FeltMeasured,
    Pair,
    Picture,
    Row,
    TakeHome,
)
from review.takehome.folder import recover_folder
from review.takehome.picture_cover import PictureCover
from review.takehome.side_by_side import render_pair
from review.takehome.writing import write_takehome

__all__ = [
    "USUAL_CAUTIONS",
    "BatchWords",
    "Chart",
    "ChartPoint",
    "ClipSide",
    "FeltMeasured",
    "Pair",
    "Picture",
    "PictureCover",
    "Row",
    "TakeHome",
    "recover_folder",
    "render_pair",
    "write_takehome",
]
