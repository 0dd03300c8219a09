"""``match``: which clip is which row, and why."""
