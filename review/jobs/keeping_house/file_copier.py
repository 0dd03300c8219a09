"""Brings the library's files into a backup, each once; what lies there already is used again."""

from contextlib import suppress
from pathlib import Path

from review.errors import MachineError
from review.jobs.keeping_house.backup_folder import KeptFile
from review.jobs.keeping_house.copying import DamagedFileError, copy_checked, read_sha256
from review.jobs.keeping_house.counting import Counting
from review.lesson.words import size
from review.library import check_space


class FileCopier:
    """Brings files into the backup; ``kept`` is what lies there, ``lost`` what is not whole anywhere."""

    def __init__(self, library: Path, to: Path, earlier: dict[str, KeptFile], read_all: bool) -> None:
        self._library, self._to, self._earlier, self._read_all = library, to, earlier, read_all
        self.kept: dict[str, KeptFile] = {}
        self.lost: list[str] = []
        self.n_copied = 0

    def copy(self, names: list[str], counting: Counting) -> None:
        """Bring files over that do not lie there the same from before."""
        sizes = {name: size_of(self._library / name) or size_of(self._to / name) for name in names}
        counting.total = max(counting.total, counting.done + sum(sizes.values()))
        missing = sum(size for name, size in sizes.items() if size_of(self._to / name) != size)
        check_room(self._to, missing)
        for name in names:
            before = counting.done
            self._copy_one(name, counting)
            counting.at_least(before + sizes[name])

    def _copy_one(self, name: str, counting: Counting) -> None:
        source, there = self._library / name, self._to / name
        # clips and voices are named by their content
        must_be = there.stem if name.startswith(("clips/", "voice/")) else None
        if self._is_there(name, must_be, counting):
            return
        try:
            there.parent.mkdir(exist_ok=True)
            sha256 = copy_checked(source, there, counting.add, must_be)
        except DamagedFileError:
            if must_be is None:  # made again, or gone meanwhile
                return
            # of what the library has no longer whole, an earlier backup may have the only sound copy
            with suppress(DamagedFileError):
                if read_sha256(there, counting.add) == must_be:
                    self._note(name, must_be)
                    return
            self.lost.append(name)
            return
        self.n_copied += 1
        self._note(name, sha256)

    def _is_there(self, name: str, must_be: str | None, counting: Counting) -> bool:
        """Whether it lies there from before, the same as in the library."""
        source, there, known = self._library / name, self._to / name, self._earlier.get(name)
        if not there.is_file() or size_of(there) != size_of(source):
            return False
        written_ns = there.stat().st_mtime_ns
        is_untouched = known is not None and known.written_ns == written_ns
        if must_be is None:
            # not named by its content: it counts as the same while it is older than its copy
            if known is None or not is_untouched or source.stat().st_mtime_ns > written_ns:
                return False
            must_be = known.sha256
        if self._read_all or not is_untouched:
            try:
                if read_sha256(there, counting.add) != must_be:
                    return False
            except DamagedFileError:
                return False
        self._note(name, must_be)
        return True

    def _note(self, name: str, sha256: str) -> None:
        stat = (self._to / name).stat()
        self.kept[name] = KeptFile(sha256, stat.st_size, stat.st_mtime_ns)


def check_room(to: Path, need_bytes: int) -> None:
    """Say early that the disk of a backup is too full.

    Raises
    ------
    MachineError
        When it is.
    """
    try:
        check_space(to, need_bytes)
    except MachineError as error:
        raise MachineError(
            f"The disk with {to} is too full for the backup: {size(need_bytes)} are to be written. Make room "
            "there, or use another disk; an earlier backup there is as it was."
        ) from error


def size_of(path: Path) -> int:
    """Bytes of a file; 0 when it is not there."""
    try:
        return path.stat().st_size
    except OSError:
        return 0
