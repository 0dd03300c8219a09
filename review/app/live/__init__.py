"""A lesson as it happens: begun, followed beside the window, its newest swing looping, its batches in words."""
