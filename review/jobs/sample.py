"""Where the sample lesson lies: inside the installed package, or in the checkout."""

from importlib import resources
from pathlib import Path

from review.errors import MachineError


def find_sample_lesson() -> Path:
    """Return the lesson file of the sample lesson.

    Raises
    ------
    MachineError
        When it is neither in the package nor in the checkout.
    """
    package = Path(str(resources.files("review")))
    for folder in (package / "sample_clips", package.parent / "sample_clips"):
        if (folder / "lesson.toml").is_file():
            return folder / "lesson.toml"
    raise MachineError("The sample lesson is missing from this installation; install the program again.")
