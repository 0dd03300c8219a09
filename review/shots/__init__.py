"""Reading a device's shot table through a column mapping that the coach keeps."""

from review.shots.growing import Merged, merge_rows, row_key
from review.shots.mapping import propose_mapping, read_mapping, write_mapping
from review.shots.naming import Certainty
from review.shots.proposal import ColumnProposal, TableProposal, propose_table
from review.shots.shot_number import find_shot_number
from review.shots.table import ShotTable, read_shot_table
from review.tables import ColumnMapping

__all__ = [
    "Certainty",
    "ColumnMapping",
    "ColumnProposal",
    "Merged",
    "ShotTable",
    "TableProposal",
    "find_shot_number",
    "merge_rows",
    "propose_mapping",
    "propose_table",
    "read_mapping",
    "read_shot_table",
    "row_key",
    "write_mapping",
]
