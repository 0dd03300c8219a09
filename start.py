#!/usr/bin/env python3
"""Installs the lesson review beside this file and runs it: ``python3 start.py demo`` or ``python3 start.py test``.

Needs nothing but Python 3.11 to 3.13. Everything goes into the folder ``.venv``; remove it to start over.
"""

from __future__ import annotations

import hashlib
import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
VENV = HERE / ".venv"
BIN = VENV / ("Scripts" if os.name == "nt" else "bin")
PYTHON = BIN / ("python.exe" if os.name == "nt" else "python")
DEBIAN_PACKAGES = {
    "libEGL": "libegl1",
    "libGLESv2": "libgles2",  # before libGL, whose name it begins with
    "libGL": "libgl1",
    "libX11": "libx11-6",
    "libXext": "libxext6",
    "libdbus": "libdbus-1-3",
    "libfontconfig": "libfontconfig1",
    "libfreetype": "libfreetype6",
    "libgthread": "libglib2.0-0",
    "libglib": "libglib2.0-0",
    "libportaudio": "libportaudio2",
    "libstdc++": "libstdc++6",
    "libxkbcommon": "libxkbcommon0",
    "libz": "zlib1g",
}
LOADS_ALL = """
import av, cv2, mediapipe
from mediapipe.tasks.python import vision
from PyQt5 import QtGui, QtWidgets
QtWidgets.QApplication([])
"""
CHECKS = (
    ("lint", ["-m", "ruff", "check"]),
    ("format", ["-m", "ruff", "format", "--check"]),
    ("types", ["-m", "mypy"]),
    ("layers", ["-c", "from importlinter.cli import lint_imports_command; lint_imports_command()"]),
    ("tests", ["-m", "pytest", "-n", "2", "-q"]),
)


def main() -> int:
    """Install what is missing, then do what was asked."""
    what = sys.argv[1] if len(sys.argv) > 1 else ""
    if what not in ("demo", "test"):
        print(
            "python3 start.py demo    run the main job on the sample lesson\npython3 start.py test    run every check"
        )
        return 2
    if not (3, 11) <= sys.version_info[:2] <= (3, 13):
        print(f"Python 3.11, 3.12 or 3.13 is needed; this is {sys.version.split()[0]}. Start it with one of these.")
        return 3
    if not install("dev" if what == "test" else "run"):
        return 3
    if what == "demo":
        return subprocess.call([PYTHON, "-m", "review", "demo", *sys.argv[2:]], cwd=HERE)
    return run_checks()


def install(kind: str) -> bool:
    """Bring ``.venv`` up to date; a stamp written last makes the next start quick and repairs a stopped one."""
    wanted = fingerprint(kind)
    stamp = VENV / "installed"
    have = stamp.read_text().split() if stamp.is_file() else []
    if wanted in have:
        return True
    try:
        if not PYTHON.is_file() or not works([PYTHON, "-m", "pip", "--version"]):
            print(f"Making {VENV.name} with Python {sys.version.split()[0]} ...", flush=True)
            shutil.rmtree(VENV, ignore_errors=True)
            if subprocess.call([sys.executable, "-m", "venv", VENV]):
                print("Python cannot make environments here; on Debian or Ubuntu: apt-get install python3-venv")
                return False
        stamp.unlink(missing_ok=True)  # a run stopped from here on must not be trusted by the next
        print("Installing; the first time takes a minute or two ...", flush=True)
        pip = [PYTHON, "-m", "pip", "install", "--quiet", "--disable-pip-version-check", "--no-input"]
        listed = HERE / "requirements" / f"{kind}.txt"
        if subprocess.call([*pip, "--require-hashes", "-r", listed], cwd=HERE):
            print("The packages could not be installed (see above). Is the network there? Then start again.")
            return False
        if subprocess.call([*pip, "--no-deps", "--no-build-isolation", "-e", HERE], cwd=HERE):
            print("The program itself could not be installed (see above).")
            return False
        if not check_system_libraries():
            return False
        stamp.write_text(" ".join({*have_still_true(have), wanted}))
    except OSError as error:
        print(f"{error.filename or VENV} could not be written: {error.strerror}. Check the folder's rights and space.")
        return False
    return True


def have_still_true(have: list[str]) -> list[str]:
    """Stamps of the other kind that the files still ask for."""
    return [stamp for stamp in have if stamp in (fingerprint("run"), fingerprint("dev"))]


def fingerprint(kind: str) -> str:
    """Changes whenever something else would be installed."""
    digest = hashlib.sha256(f"{kind} {sys.version}".encode())
    for file in (HERE / "requirements" / f"{kind}.txt", HERE / "pyproject.toml"):
        digest.update(file.read_bytes())
    return digest.hexdigest()[:16]


def works(command: list[object]) -> bool:
    """Whether a command runs."""
    return subprocess.call(command, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL) == 0


def check_system_libraries() -> bool:
    """Load what comes with compiled code; name a missing system library, install it where that is ours to do."""
    for _ in range(len(DEBIAN_PACKAGES)):
        without_display = {**os.environ, "QT_QPA_PLATFORM": "offscreen", "QT_DEBUG_PLUGINS": "1"}
        tried = subprocess.run([PYTHON, "-c", LOADS_ALL], capture_output=True, text=True, env=without_display)
        if tried.returncode == 0:
            return True
        missing = re.search(r"(lib[\w+.-]+?\.so[.\d]*): cannot open shared object", tried.stderr)
        if missing is None:
            print(tried.stderr.strip().splitlines()[-1] if tried.stderr.strip() else "A package cannot be loaded.")
            print("Remove the folder .venv and start again.")
            return False
        library = missing.group(1)
        package = next((p for name, p in DEBIAN_PACKAGES.items() if library.startswith(name)), None)
        if package is None or shutil.which("apt-get") is None:
            print(f"The system library {library} is missing; install it with your system's package manager.")
            return False
        if os.geteuid() != 0:
            print(f"The system library {library} is missing. Install it: sudo apt-get install {package}")
            return False
        print(f"Installing the system library {library} ({package}) ...", flush=True)
        quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
        subprocess.call(["apt-get", "update", "-qq"], env=quiet, stdout=subprocess.DEVNULL)
        if subprocess.call(["apt-get", "install", "-y", "-qq", package], env=quiet, stdout=subprocess.DEVNULL):
            print(f"apt-get could not install {package}.")
            return False
    print("System libraries are still missing; start again, or install them by hand.")
    return False


def run_checks() -> int:
    """Run every check, even after one failed, and say at the end which did."""
    failed = []
    for name, command in CHECKS:
        print(f"\n== {name}", flush=True)
        if subprocess.call([PYTHON, *command], cwd=HERE):
            failed.append(name)
    print(f"\nFAILED: {', '.join(failed)}" if failed else "\nAll checks passed.")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main())
