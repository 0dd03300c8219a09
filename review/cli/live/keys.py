"""The coach's keys in a terminal: single presses where standard input is one, lines otherwise."""

import os
import queue
import sys
import threading
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from types import TracebackType
from typing import Self

_POLL_S = 0.1
_FORGET_DIGITS_S = 5.0
"""A number without a key after it is forgotten: it was not meant, or meant for a key that never came."""
_ESCAPE = "\x1b"


class Keys:
    """Reads keys beside the work; ``take`` gives what was pressed since.

    In a terminal one press is one key; digits before it belong to it ('6p'), and keys in ``with_text`` are followed by
    a line that is typed. Otherwise a line is a key with its text. ``is_at_end`` tells that there will be no more.
    """

    def __init__(self, with_text: str = "", prompt: str = "> ", clock_s: Callable[[], float] = time.monotonic) -> None:
        self._with_text = with_text
        self._prompt = prompt
        self._clock_s = clock_s
        self._digits = ""
        self._digits_at_s = 0.0
        self._pressed: queue.SimpleQueue[str] = queue.SimpleQueue()
        self._is_closing = threading.Event()
        self.is_at_end = False
        is_terminal = sys.stdin is not None and sys.stdin.isatty()
        self._read = (
            self._read_lines if not is_terminal else self._read_windows if os.name == "nt" else self._read_posix
        )
        self._thread = threading.Thread(target=self._run, daemon=True)

    def __enter__(self) -> Self:
        self._thread.start()
        return self

    def __exit__(
        self, kind: type[BaseException] | None, error: BaseException | None, trace: TracebackType | None
    ) -> None:
        self._is_closing.set()
        # a thread that waits for a line ends with the program; one that set the terminal must set it back
        if self._read != self._read_lines:
            self._thread.join(timeout=2.0)

    def take(self) -> tuple[str, ...]:
        """Return what was pressed since the last call: the key, digits before it and text after it."""
        taken = []
        with suppress(queue.Empty):
            while True:
                taken.append(self._pressed.get_nowait())
        return tuple(taken)

    def _run(self) -> None:
        with suppress(OSError, ValueError):  # standard input was closed
            self._read()
        self.is_at_end = True

    def _press(self, key: str) -> None:
        """Take one press; a digit waits for its key, blanks and keys without a sign of their own are none."""
        if self._clock_s() > self._digits_at_s + _FORGET_DIGITS_S:
            self._digits = ""
        if key.isascii() and key.isdigit():
            self._digits += key
            self._digits_at_s = self._clock_s()
        elif key.strip() and key.isprintable():
            self._pressed.put(self._digits + key)
            self._digits = ""
        else:
            self._digits = ""

    def _read_lines(self) -> None:
        if sys.stdin is None:  # started without any
            return
        for line in iter(sys.stdin.readline, ""):
            if line.strip():
                self._pressed.put(line.strip())

    def _ask_text(self, key: str) -> None:
        self._digits = ""
        sys.stderr.write(self._prompt)
        sys.stderr.flush()
        self._pressed.put(f"{key} {sys.stdin.readline().strip()}")

    def _read_posix(self) -> None:
        import select
        import termios
        import tty

        file = sys.stdin.fileno()
        plain = termios.tcgetattr(file)

        @contextmanager
        def single_presses() -> Iterator[None]:
            tty.setcbreak(file)
            try:
                yield
            finally:
                termios.tcsetattr(file, termios.TCSADRAIN, plain)

        while not self._is_closing.is_set():
            text_key = ""
            with single_presses():
                while not self._is_closing.is_set() and not text_key:
                    if not select.select([file], [], [], _POLL_S)[0]:
                        continue
                    read = os.read(file, 1)
                    if not read:
                        return
                    if read == _ESCAPE.encode():  # an arrow or the like: what follows at once is no key of its own
                        while select.select([file], [], [], 0.0)[0] and os.read(file, 1):
                            pass
                    key = read.decode(errors="ignore")  # one byte of a letter beyond ASCII: no key
                    if key and key in self._with_text:
                        text_key = key
                    else:
                        self._press(key)
            if text_key:
                self._ask_text(text_key)

    def _read_windows(self) -> None:
        if sys.platform != "win32":
            return
        import msvcrt

        while not self._is_closing.wait(_POLL_S):
            while msvcrt.kbhit():
                key = msvcrt.getwch()
                if key in ("\x00", "\xe0"):  # an arrow or the like, told as two
                    msvcrt.getwch()
                elif key in self._with_text:
                    self._ask_text(key)
                else:
                    self._press(key)
