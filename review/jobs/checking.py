"""What is installed, what is missing."""

import importlib
import platform
import shutil
import sys
from dataclasses import dataclass
from importlib import metadata
from pathlib import Path

from review.errors import ReviewError
from review.jobs.sample import find_sample_lesson
from review.media import find_encoder
from review.pose import model_path

_PACKAGES = (
    ("mediapipe", "mediapipe", "landmarks"),
    ("av", "av", "reading video"),
    ("cv2", "opencv-python-headless", "pictures"),
    ("numpy", "numpy", "numbers"),
    ("scipy", "scipy", "statistics"),
    ("openpyxl", "openpyxl", "XLSX tables"),
    ("defusedxml", "defusedxml", "ODS tables"),
    ("pint", "pint", "units"),
    ("matplotlib", "matplotlib", "charts"),
    ("PyQt5.QtWidgets", "PyQt5", "the window"),
    ("pyqtgraph", "pyqtgraph", "charts in the window"),
    ("rich", "rich", "the terminal"),
    ("ffmpeg", "ffmpeg-python", "writing video"),
    ("fpdf", "fpdf2", "the sheet"),
    ("jinja2", "jinja2", "the page"),
)
_FREE_BYTES_NEEDED = 2_000_000_000


@dataclass(frozen=True)
class Check:
    """One thing looked at: whether it is in order, and what was seen or what to do."""

    name: str
    is_fine: bool
    detail: str


def check_installation(library_folder: Path) -> tuple[Check, ...]:
    """Look at Python, packages, model files, encoder, sample lesson and disk space."""
    version = platform.python_version()
    checks = [Check("Python", (3, 11) <= sys.version_info[:2] <= (3, 13), f"{version}; needed: 3.11 to 3.13")]
    checks += [_check_package(*package) for package in _PACKAGES]
    for model in ("full", "heavy"):
        try:
            path = model_path(model)
            checks.append(Check(f"pose model, {model}", True, f"{path.stat().st_size / 1e6:.0f} MB"))
        except ReviewError as error:
            checks.append(Check(f"pose model, {model}", False, str(error)))
    try:
        checks.append(Check("video encoder", True, find_encoder()))
    except ReviewError as error:
        checks.append(Check("video encoder", False, str(error)))
    try:
        checks.append(
            Check("sample lesson", True, f"{len(list((find_sample_lesson().parent / 'clips').iterdir()))} clips")
        )
    except ReviewError as error:
        checks.append(Check("sample lesson", False, str(error)))
    return (*checks, _check_space(library_folder))


def _check_package(module: str, package: str, what_for: str) -> Check:
    try:
        importlib.import_module(module)
        return Check(package, True, f"{metadata.version(package)} ({what_for})")
    except (ImportError, OSError) as error:
        return Check(package, False, f"needed for {what_for}; {error}. Install the program again.")


def _check_space(folder: Path) -> Check:
    existing = next(p for p in (folder, *folder.absolute().parents) if p.exists())
    free = shutil.disk_usage(existing).free
    detail = f"{free / 1e9:.1f} GB free for the library in {folder}"
    return Check("disk space", free > _FREE_BYTES_NEEDED, detail)
