"""What matching is not sure of in a lesson: out of the way until wanted, answered by key."""
