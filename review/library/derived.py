"""What can be made again from a clip and is kept to save the time."""

import hashlib
import re
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any, TypeVar

from numpy.typing import NDArray

from review.errors import BadInputError, MachineError
from review.library import files
from review.library.database import Database

Result = TypeVar("Result")

_KIND = re.compile(r"[a-z][a-z0-9_-]*")


class Derived(Database):
    """Files in ``derived/``, each known by the content of the clip it was made from."""

    def derived_file(self, kind: str, key: str, suffix: str = ".npz") -> Path:
        """Where something made from a clip lies or would lie; ``note_derived`` first when writing it elsewhere.

        ``kind`` is a plain lower-case word, ``key`` any text that names every input.
        """
        if not _KIND.fullmatch(kind):
            raise ValueError(f"the kind of a derived file is a plain lower-case word, got {kind!r}")
        return self.folder / "derived" / kind / f"{hashlib.sha256(key.encode()).hexdigest()}{suffix}"

    def note_derived(self, path: Path, clip_content: str) -> None:
        """Note from which clip (``Clip.content``) a file in ``derived/`` is made, before writing it, for forgetting."""
        name = path.relative_to(self.folder).as_posix()
        self._insert("derived", {"file": name, "clip_content": clip_content}, "INSERT OR REPLACE")

    def save_arrays(
        self,
        kind: str,
        key: str,
        arrays: Mapping[str, NDArray[Any]],
        text: Mapping[str, str] | None = None,
        *,
        clip_content: str,
    ) -> None:
        """Keep something that was made from a clip, so that it need not be made again.

        Raises
        ------
        MachineError
            When the disk is full or may not be written; what was kept before is then still there.
        """
        path = self.derived_file(kind, key)
        # the row comes first: a file without a row would outlive its pupil
        self.note_derived(path, clip_content)
        files.save_arrays(path, arrays, text or {})

    def write_derived(
        self, path: Path, write: Callable[[Path], Result], clip_content: str, need_bytes: int = 0
    ) -> Result:
        """Let ``write`` write a derived file of about ``need_bytes`` aside, then move it in; return what it returned.

        Raises
        ------
        BadInputError
            When the clip was forgotten meanwhile; nothing is left then.
        MachineError
            When the disk is full or may not be written.
        """
        aside = files.new_part(path.parent)
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            files.check_space(path.parent, need_bytes)
            result = write(aside)
            # long work: in one step with the look at the clip, so that forgetting comes before or after it
            with self.transaction():
                if self._execute("SELECT 1 FROM clip WHERE content = ?", (clip_content,)).fetchone() is None:
                    raise BadInputError("That clip is no longer in the library.")
                self.note_derived(path, clip_content)
                aside.replace(path)
            return result
        except (BadInputError, MachineError):
            raise
        except OSError as error:
            raise files.as_machine_error(error, path.parent) from error
        finally:
            aside.unlink(missing_ok=True)

    def remove_derived(self, path: Path) -> None:
        """Remove a derived file that is of no use.

        Raises
        ------
        MachineError
            When another program holds it.
        """
        files.remove(path)
        self._execute("DELETE FROM derived WHERE file = ?", (path.relative_to(self.folder).as_posix(),))

    def load_arrays(self, kind: str, key: str) -> tuple[dict[str, NDArray[Any]], dict[str, str]] | None:
        """Return what was kept, None when it is not there or damaged."""
        return files.load_arrays(self.derived_file(kind, key))
