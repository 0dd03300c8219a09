"""Files for other programs: numbers as CSV and Parquet with a dictionary, points of the body as C3D."""

from review.takehome.exports.columns import COLUMNS, Column, NumberRow
from review.takehome.exports.points import PointsOfClip
from review.takehome.exports.writing import write_exports

__all__ = ["COLUMNS", "Column", "NumberRow", "PointsOfClip", "write_exports"]
