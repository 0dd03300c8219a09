"""takehome."""
