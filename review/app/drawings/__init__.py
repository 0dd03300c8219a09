"""What a coach draws over a picture."""
