"""The pieces of work that read what is open; each loads what it needs itself, beside the window."""

from pathlib import Path
from typing import Any

from review.app.worker import Work


def read_pupils(folder: Path) -> Work:
    """Read a library's pupils."""

    def work(progress: Any) -> Any:
        from review.jobs.showing.pupils import list_pupils

        return list_pupils(folder, progress)

    return work


def read_lesson(folder: Path, lesson_id: str) -> Work:
    """Read a lesson as it is shown."""

    def work(progress: Any) -> Any:
        from review.jobs.showing.lesson import show_lesson

        return show_lesson(folder, lesson_id, progress)

    return work


def compare_lesson(folder: Path, lesson_id: str) -> Work:
    """Compare a lesson's first batch with its last."""

    def work(progress: Any) -> Any:
        from review.jobs.showing.lesson import compare_first_and_last

        return compare_first_and_last(folder, lesson_id, progress)

    return work


def load_pages(progress: Any) -> Any:
    """Load what the first lesson needs, while the coach still chooses."""
    import review.app.lesson_chart.view
    import review.app.pupils.page
    import review.app.questions.view
    import review.app.tables.view
    import review.jobs.showing.lesson  # noqa: F401
