"""pressure."""
