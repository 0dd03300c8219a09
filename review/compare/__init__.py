"""compare."""
