"""Clips as files: one swing, or two in step, with lines, names, numbers; slow and held where it matters."""
