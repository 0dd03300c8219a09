"""What the coach last chose of the pressure live, kept from one start to the next."""

from dataclasses import asdict, dataclass
from pathlib import Path

from review.app.kept_json import read_kept, write_kept

_NAME = "pressure_live.json"


@dataclass(frozen=True)
class LiveKept:
    """Whether it is seen as the coach sees it who faces the pupil, and the folder of the last table."""

    is_coachs_view: bool = False
    folder: str = ""


def read_live_kept(folder: Path | None) -> LiveKept:
    """Read what is kept in a folder (None: nowhere); what cannot be used is as it was at first."""
    kept = {} if folder is None else read_kept(folder / _NAME) or {}
    last = kept.get("folder")
    return LiveKept(kept.get("is_coachs_view") is True, last if isinstance(last, str) else "")


def write_live_kept(kept: LiveKept, folder: Path | None) -> None:
    """Keep it in a folder; None keeps nothing."""
    if folder is not None:
        write_kept(asdict(kept), folder / _NAME)
