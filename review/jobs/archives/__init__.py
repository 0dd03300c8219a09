"""A whole lesson packed into one file, and read in by another copy of the tool."""
