"""How much room on the disk is kept free."""

import shutil
from pathlib import Path

LOW_BYTES = 5 * 10**9
"""About one lesson of two cameras at 240 pictures a second."""


def say_little_room(folder: Path) -> str:
    """Warn, before a lesson, that the disk of the library is nearly full; '' while there is room."""
    there = next((path for path in (folder, *folder.absolute().parents) if path.exists()), Path.cwd())
    free = shutil.disk_usage(there).free
    if free >= LOW_BYTES:
        return ""
    return (
        f"Little room: {free / 1e9:.1f} GB free for the library; a lesson of two cameras needs up to "
        f"{LOW_BYTES / 1e9:.0f} GB. lesson-review thin says which old clips may go."
    )
