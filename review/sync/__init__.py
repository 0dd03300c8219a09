"""sync."""
