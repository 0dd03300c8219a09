"""``compare``: batches against each other, printed and written."""
