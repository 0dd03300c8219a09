"""swing."""
