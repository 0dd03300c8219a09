"""What the coach chooses of the window, on one page by arrow keys."""
