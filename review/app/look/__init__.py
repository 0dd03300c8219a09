"""How the window looks: light and dark, sizes that follow the window, the marks of batches."""

from review.app.look.theme import DARK, LIGHT, Look, Theme, make_style

__all__ = ["DARK", "LIGHT", "Look", "Theme", "make_style"]
