"""Whether a folder may take a backup of this library."""

import json
from pathlib import Path

from review.errors import BadInputError
from review.jobs.keeping_house.backup_folder import BEGUN, LIST, BackupList, list_things, read_list
from review.library import Library


def check_place(library: Library, to: Path) -> BackupList | None:
    """Refuse a folder that is not for a backup of this library; return the backup that lies there.

    Raises
    ------
    BadInputError
        When it holds something else, lies in the library, or its disk is not connected.
    """
    inside, outside = library.folder.resolve(), to.resolve()
    if inside == outside or inside in outside.parents or outside in inside.parents:
        raise BadInputError(f"{to} and the library lie in each other. Choose a folder elsewhere, best on another disk.")
    if not to.parent.is_dir():
        raise BadInputError(
            f"There is no folder {to.parent}. Is the disk connected? Connect it, or make the folder; nothing was "
            "written."
        )
    if to.exists() and not to.is_dir():
        raise BadInputError(f"{to} is a file; give a folder.")
    known = {backup.id for backup in library.backups()}
    if (to / LIST).exists():
        earlier = read_list(to)
        if earlier.id not in known:
            raise BadInputError(
                f"In {to} lies a backup (of {earlier.made_at:%Y-%m-%d}) that this library knows nothing of: it is of "
                "another library, or of a later state of this one. It is not overwritten; choose another folder."
            )
        return earlier
    if (to / BEGUN).exists():
        if _read_id(to / BEGUN) not in known:
            raise BadInputError(f"In {to} lies a backup of another library that was broken off; choose another folder.")
        return None
    found = list_things(to)
    if found:
        raise BadInputError(
            f"{to} holds other things ({', '.join(found[:3])}) and is left alone. Give a new or empty folder, such as "
            f"{to / 'lesson-backup'}."
        )
    return None


def _read_id(begun: Path) -> str:
    try:
        return str(json.loads(begun.read_text(encoding="utf-8"))["id"])
    except (OSError, ValueError, KeyError, TypeError):
        return ""
