"""media."""
