"""Between lessons: a clip from the pupil's phone beside the last closed batch: a page of the window."""
