"""The pupil on the mat, live: the dot alone, large, and an area to hold it in."""
