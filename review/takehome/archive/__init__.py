"""A whole lesson as one file that another copy of the tool reads in."""

from review.takehome.archive.contents import Manifest
from review.takehome.archive.reading import Archive, open_archive
from review.takehome.archive.writing import Entry, write_archive

__all__ = ["Archive", "Entry", "Manifest", "open_archive", "write_archive"]
