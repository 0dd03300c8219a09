"""The body as lines over the picture, without Qt: what a talk's video shows as well."""

from review.pose.drawn_lines import LINE_COLOUR, TURN_COLOUR, BodyLine, draw_body

__all__ = ["LINE_COLOUR", "TURN_COLOUR", "BodyLine", "draw_body"]
