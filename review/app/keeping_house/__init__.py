"""The library's backup, and how long clips are kept."""
