"""Starting the window: the application, its fonts, and the net that catches what nobody foresaw."""

import ctypes
import gc
import os
import re
import signal
import sys
from collections.abc import Callable
from functools import cache
from importlib import resources
from pathlib import Path
from types import TracebackType

from PyQt5.QtCore import QCoreApplication, QLibraryInfo, Qt
from PyQt5.QtGui import QFontDatabase
from PyQt5.QtWidgets import QApplication

from review.app.left_off import LeftOff
from review.app.look.choice import choice_file, read_choice
from review.app.state import ReviewState
from review.app.window import Window
from review.app.worker import say_mistake
from review.errors import MachineError

_SWITCH_S = 0.001
"""How long work beside the window may hold the interpreter when the window wants it (5 ms by default)."""


def run(library: Path) -> int:
    """Show the window until it is closed.

    Raises
    ------
    MachineError
        When there is no screen, or the system lacks what a window needs.
    """
    sys.setswitchinterval(_SWITCH_S)
    application = make_application()
    kept = choice_file()
    window = Window(library, read_choice(kept), kept)
    LeftOff(window, kept.with_name("left_off.json"))
    with_net(window.state.trouble_came.emit)
    spare_what_stays(window.state)
    window.show()
    window.state.load_pupils()
    window.live.go_on_if_left()
    return int(application.exec())


@cache  # which also keeps it: Qt's application goes when nobody holds it
def make_application() -> QApplication:
    """Make the application, or return the one there is, with the window's fonts.

    Raises
    ------
    MachineError
        When there is no screen, or the system lacks what a window needs.
    """
    there = QApplication.instance()
    if isinstance(there, QApplication):
        return there
    check_screen()
    # Qt lets Python see a signal only when something moves: asked to end (SIGTERM), a window ends at once
    signal.signal(signal.SIGTERM, signal.SIG_DFL)
    QCoreApplication.setAttribute(Qt.ApplicationAttribute.AA_EnableHighDpiScaling)
    QCoreApplication.setAttribute(Qt.ApplicationAttribute.AA_UseHighDpiPixmaps)
    application = QApplication(["lesson-review"])
    application.setApplicationName("lesson-review")
    # by way of the folder: as a package the room would be loaded with all its libraries
    fonts = resources.files("review").joinpath("takehome", "fonts")
    for name in ("DejaVuSans.ttf", "DejaVuSans-Bold.ttf"):
        QFontDatabase.addApplicationFontFromData(fonts.joinpath(name).read_bytes())
    return application


def spare_what_stays(state: ReviewState) -> None:
    """Let the collector of cycles pass over what is loaded by the time a lesson is open: it stays to the end.

    Looking through all of it took 54 ms at a time, in which nothing moved (140 000 objects, the sample lesson open).
    """
    state.comparison_changed.connect(gc.freeze)
    state.lesson_changed.connect(gc.freeze)  # a lesson that goes on is compared only when it is over


def with_net(say: Callable[[str], None]) -> None:
    """Catch exceptions in slots: PyQt ends the program on them unless there is a hook."""

    def catch(kind: type[BaseException], error: BaseException, trace: TracebackType | None) -> None:
        if issubclass(kind, KeyboardInterrupt):
            QCoreApplication.quit()
            return
        say(say_mistake(error))

    sys.excepthook = catch


def check_screen() -> None:
    """Say in words what Qt would only abort on: no screen, or a missing system library."""
    if not sys.platform.startswith("linux") or os.environ.get("QT_QPA_PLATFORM"):
        return
    if not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        raise MachineError(
            "There is no screen here (DISPLAY is not set). Start the window on the computer itself; pictures of it "
            "can be made without a screen: lesson-review open --pictures DIR"
        )
    plug_in = Path(QLibraryInfo.location(QLibraryInfo.LibraryLocation.PluginsPath), "platforms", "libqxcb.so")
    try:
        ctypes.CDLL(str(plug_in))
    except OSError as error:
        missing = re.search(r"lib[\w+.-]+?\.so[.\d]*", str(error).replace(str(plug_in), ""))
        raise MachineError(
            f"A window needs a system library that is not here: {missing.group(0) if missing else error}. "
            "On Debian or Ubuntu: sudo apt-get install libxcb-icccm4 libxcb-image0 libxcb-keysyms1 libxcb-randr0 "
            "libxcb-render-util0 libxcb-shape0 libxcb-xinerama0 libxcb-xkb1 libxkbcommon-x11-0"
        ) from error
