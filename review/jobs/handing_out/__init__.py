"""The take-home of a lesson: filled from the library and written."""

from review.jobs.handing_out.lesson import HandedOut, HandOutWish, hand_out

__all__ = ["HandOutWish", "HandedOut", "hand_out"]
