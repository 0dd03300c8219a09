"""body."""
