"""Camera and player set-ups made in the window: guided, step by step, on stills of the lesson."""
