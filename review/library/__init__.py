"""library."""
