"""Two swings side by side, locked at a key frame, or one seen through the other; beneath them what changed."""
