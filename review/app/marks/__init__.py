"""Key frames put right on the time line, and marks of the coach's own."""
