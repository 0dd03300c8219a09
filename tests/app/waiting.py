"""How long tests of the window wait."""

PATIENCE_MS = 120_000
"""For a machine that does much else; nothing waits this long by itself."""
