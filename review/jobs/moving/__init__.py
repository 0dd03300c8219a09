"""Swings moved to another pupil or batch."""
