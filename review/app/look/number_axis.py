"""An axis whose numbers are written as the window's language writes them."""

from collections.abc import Sequence

import pyqtgraph as pg

from review.app.language import say_figures


class NumberAxis(pg.AxisItem):  # type: ignore[misc]  # the library has no types
    """Chooses its numbers as any axis does."""

    def tickStrings(self, values: Sequence[float], scale: float, spacing: float) -> list[str]:
        """Write the numbers."""
        return [say_figures(text) for text in super().tickStrings(values, scale, spacing)]
