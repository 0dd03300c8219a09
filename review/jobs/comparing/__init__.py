"""Two batches against each other: of a lesson, of two lessons, or of a bare table."""

from review.jobs.comparing.bare_table import TableComparison, compare_table
from review.jobs.comparing.lesson import LessonComparison, compare_lesson

__all__ = ["LessonComparison", "TableComparison", "compare_lesson", "compare_table"]
