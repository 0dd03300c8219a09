"""What the window shows."""
