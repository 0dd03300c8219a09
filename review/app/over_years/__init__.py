"""A pupil over the years, and search over what was written: pages of the window."""
