"""What the pupil sees when the screen is turned: two clips, three numbers, felt and measured; nothing private."""
