"""The aim batch by batch, for the eye."""

from collections.abc import Sequence

from review.cli.screen import say
from review.compare import Course, Verdict
from review.lesson import Handedness, label
from review.lesson.words import say_value


def show_courses(courses: Sequence[Course], numbers: Sequence[int], handedness: Handedness) -> None:
    """Print each measure of the aim over all batches, with what can be said of each against the first."""
    shown = [course for course in courses if sum(point.n > 0 for point in course.points) > 1]
    if not shown:
        return
    say("\nBatch by batch (each against the first)")
    for course in shown:
        say(f"  {label(course.name, course.key_frame)}")
        verdicts = [""] + [
            "" if c.verdict is Verdict.NOT_JUDGED else f"   {c.verdict.value}" for c in course.against_first
        ]
        for number, point, verdict in zip(numbers, course.points, verdicts, strict=True):
            words = say_value(course.name, point.mean, handedness) if point.n else "not measured"
            say(f"    {number}. {words} ({point.n}){verdict}")
        for remark in course.remarks:
            say(f"    {remark}")
