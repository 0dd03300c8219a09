"""pose."""
