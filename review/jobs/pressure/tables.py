"""Reading what a mat or platform wrote: by the coach's mapping, from tables, folders of them and C3D files."""

from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path

from review.jobs.tables.kept_mappings import PRESSURE_TABLE, find_mapping
from review.lesson import Handedness
from review.pressure import PressureRecord, read_force_platforms, read_trace_folder, read_trace_table


@dataclass(frozen=True)
class PressureTables:
    """How the pressure tables of a lesson are read.

    Parameters
    ----------
    library : folder whose kept mappings are tried.
    mapping : a file, or the name it is kept under; None finds the kept one whose columns a table has.
    handedness, cell_cm : as in ``read_trace_table``.
    """

    library: Path
    held_on: date
    handedness: Handedness
    mapping: Path | None = None
    cell_cm: tuple[float, float] | None = None

    def read(self, path: Path, started_at: datetime | None = None, target_deg: float | None = None) -> PressureRecord:
        """Read a table, a C3D file, or a folder with one for each shot.

        Parameters
        ----------
        started_at, target_deg : as in ``read_trace_table`` and ``read_force_platforms``.

        Raises
        ------
        BadInputError
            It cannot be read, or the mapping is none.
        MachineError
            A file may not be read.
        """
        if path.is_dir():  # each file has a first sample of its own
            return read_trace_folder(path, lambda file: self._read_file(file, None, target_deg, path.name))
        return self._read_file(path, started_at, target_deg, path.name)

    def _read_file(
        self, path: Path, started_at: datetime | None, target_deg: float | None, called: str
    ) -> PressureRecord:
        """``called`` is what the coach gave: the file, or its folder."""
        if path.suffix.lower() == ".c3d":
            return read_force_platforms(path, started_at, target_deg)
        found = find_mapping(self.library, path, self.mapping, PRESSURE_TABLE)
        record = read_trace_table(path, found.mapping, self.held_on, started_at, self.handedness, self.cell_cm)
        return replace(record, notes=(*(note.replace(path.name, called, 1) for note in found.notes), *record.notes))
