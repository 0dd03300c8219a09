"""One swing: its clips frame by frame, what the body did on the frame, curves over time."""
