"""``live``: a lesson as it happens, on the screen."""
