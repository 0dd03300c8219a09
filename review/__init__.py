"""Lesson review for golf coaches who teach one to one."""

__version__ = "0.1.0"
