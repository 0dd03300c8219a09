"""Reading pressure tables, cutting them into the traces of single shots, where the mat lies, and what is measured."""

from review.pressure.calibration import StepTimes, calibrate, find_steps
from review.pressure.measures import read_pressure
from review.pressure.path import PressurePath, lay_path
from review.pressure.pattern import BOTH_WAYS, Pattern, say_patterns, tell_pattern
from review.pressure.placement import STANDS_BEFORE_ANKLES_CM, MatPlacement, find_stand_x_cm
from review.pressure.reading.folder import read_trace_folder
from review.pressure.reading.force_platforms import read_force_platforms
from review.pressure.reading.shot_starts import read_number
from review.pressure.reading.trace_table import read_mapping, read_trace_table, write_mapping
from review.pressure.record import PressureRecord, ShotStart, cut_shots, cut_trace, find_pieces
from review.pressure.smoothing import compute_speed
from review.tables import ColumnMapping

__all__ = [
    "BOTH_WAYS",
    "STANDS_BEFORE_ANKLES_CM",
    "ColumnMapping",
    "MatPlacement",
    "Pattern",
    "PressurePath",
    "PressureRecord",
    "ShotStart",
    "StepTimes",
    "calibrate",
    "compute_speed",
    "cut_shots",
    "cut_trace",
    "find_pieces",
    "find_stand_x_cm",
    "find_steps",
    "lay_path",
    "read_force_platforms",
    "read_mapping",
    "read_number",
    "read_pressure",
    "read_trace_folder",
    "read_trace_table",
    "say_patterns",
    "tell_pattern",
    "write_mapping",
]
