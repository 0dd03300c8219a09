"""How clearly a person stands out in a picture: the light there is."""

import numpy as np
from numpy.typing import NDArray

from review.lesson import FloatArray

# Rec. 601 luma of red, green and blue.
_LUMA = np.array([0.299, 0.587, 0.114], dtype=np.float32)
_MARGIN = 0.15
_BLOCKS_HIGH = 80


def measure_contrast(rgb: NDArray[np.uint8], points_px: FloatArray) -> float:
    """Contrast around a person, grey levels 0..255: from the darkest to the lightest twentieth.

    Taken over means of small blocks, so that noise does not count as light.

    Parameters
    ----------
    rgb : (height, width, 3) the picture.
    points_px : (n, 2) landmarks in it; what lies around them by 15 % of their height counts too.

    Returns
    -------
    NaN when the person is not in the picture.
    """
    height, width = rgb.shape[:2]
    low, high = points_px.min(axis=0), points_px.max(axis=0)
    margin = _MARGIN * (high[1] - low[1])
    x0, y0 = np.clip(low - margin, 0, [width, height]).astype(int)
    x1, y1 = np.clip(high + margin, 0, [width, height]).astype(int)
    block = max(1, (y1 - y0) // _BLOCKS_HIGH)
    rows, columns = (y1 - y0) // block, (x1 - x0) // block
    if rows < 2 or columns < 2:
        return float("nan")
    grey = rgb[y0 : y0 + rows * block, x0 : x0 + columns * block] @ _LUMA
    means = grey.reshape(rows, block, columns, block).mean(axis=(1, 3))
    dark, light = np.percentile(means, [5.0, 95.0])
    return float(light - dark)
