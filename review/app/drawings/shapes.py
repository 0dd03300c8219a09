"""What the coach drew on a clip, as lines over its picture, without Qt: what a talk's video shows as well."""

from review.palette import DRAWN
from review.pose.drawn_lines import draw_shape, draw_shapes

COLOURS = DRAWN

__all__ = ["COLOURS", "draw_shape", "draw_shapes"]
