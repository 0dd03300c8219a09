"""The take-home of a lesson: filled from the library and written."""

from review.jobs.handing_out.lesson import HandedOut, hand_out

__all__ = ["HandedOut", "hand_out"]
