"""A few words kept as JSON from one start to the next; what cannot be read or written is as if it had not been kept."""

import json
from pathlib import Path
from typing import Any


def read_kept(file: Path) -> dict[str, Any] | None:
    """Read what is kept; None where nothing usable is."""
    try:
        kept = json.loads(file.read_text(encoding="utf-8"))
    except (OSError, ValueError):
        return None
    return kept if isinstance(kept, dict) else None


def write_kept(kept: dict[str, Any] | None, file: Path) -> None:
    """Keep it in the place of what was there, or take that away."""
    try:
        if kept is None:
            file.unlink(missing_ok=True)
            return
        file.parent.mkdir(parents=True, exist_ok=True)
        aside = file.with_suffix(".part")
        aside.write_text(json.dumps(kept), encoding="utf-8")
        aside.replace(file)
    except OSError:
        return
