"""The coach talks over a swing while stepping, scrubbing and drawing; what was on the screen is noted beside it."""
