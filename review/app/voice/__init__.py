"""Cue and feel spoken: recorded, played, recorded anew and taken off in a strip of the page."""
