"""A pupil over the years: what each lesson came to, what held, which cue worked; what to know before the next one."""

from review.jobs.history.reading import History, read_history

__all__ = ["History", "read_history"]
