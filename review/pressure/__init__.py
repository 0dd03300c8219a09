"""Reading pressure tables and cutting them into the traces of single shots."""

from review.pressure.reading import read_mapping, read_trace_table, write_mapping
from review.pressure.record import PressureRecord, cut_trace, find_pieces
from review.tables import ColumnMapping

__all__ = [
    "ColumnMapping",
    "PressureRecord",
    "cut_trace",
    "find_pieces",
    "read_mapping",
    "read_trace_table",
    "write_mapping",
]
