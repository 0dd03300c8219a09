"""shots."""
