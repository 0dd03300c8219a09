"""What the pupil gets: the take-home, written from the window."""
