"""The use cases that the commands and the window both call."""
