"""What became of clips and tables that were added, on the screen."""

from review.cli.match.screen import show_matching
from review.cli.screen import say
from review.jobs.adding import Added
from review.lesson.words import count


def show_added(added: Added) -> None:
    """Print what was added and how it was matched."""
    lesson = added.lesson
    say(
        f"{added.pupil.name}, lesson of {lesson.held_on}: "
        f"{count(added.n_new_clips, 'new clip')}, {count(added.n_new_shots, 'new row')}."
    )
    show_matching(added.matched, lesson.batches)
    for question in added.questions:
        say(f"Question: {question}")
    for note in added.notes:
        say(f"Note: {note}")
