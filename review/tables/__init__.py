"""Reading plain tables: encodings, delimiters, headers, numbers, units, times. Knows no measure."""

from review.tables.cells import Cell, cell_text
from review.tables.decoding import narrow_text, read_content
from review.tables.export import export_cell, format_csv
from review.tables.grid import Row, Table, read_table
from review.tables.headers import tidy_header
from review.tables.mapping import IGNORE, ColumnMapping, read_mapping_file, write_mapping_file
from review.tables.numbers import (
    LARGEST,
    describe_refusal,
    find_decimal,
    is_absent,
    parse_number,
    shorten,
    split_number,
)
from review.tables.times import When, compute_moment, find_date_order, parse_time_of_day_s, parse_when
from review.tables.units import compute_factor, find_unit, is_time_format, split_header, split_tail

__all__ = [
    "IGNORE",
    "LARGEST",
    "Cell",
    "ColumnMapping",
    "Row",
    "Table",
    "When",
    "cell_text",
    "compute_factor",
    "compute_moment",
    "describe_refusal",
    "export_cell",
    "find_date_order",
    "find_decimal",
    "find_unit",
    "format_csv",
    "is_absent",
    "is_time_format",
    "narrow_text",
    "parse_number",
    "parse_time_of_day_s",
    "parse_when",
    "read_content",
    "read_mapping_file",
    "read_table",
    "shorten",
    "split_header",
    "split_number",
    "split_tail",
    "tidy_header",
    "write_mapping_file",
]
