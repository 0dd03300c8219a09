"""Probabilities of all pairs at once: swings and rows both come in order, and each has one partner at most."""

import numpy as np

from review.lesson import FloatArray


def compute_pair_chances(likelihood: FloatArray) -> FloatArray:
    """Compute how probable every pair is, over all ways to pair without crossing.

    Parameters
    ----------
    likelihood : (n_swings, n_rows) of each pair against both staying alone; both sides in order of time.

    Returns
    -------
    (n_swings, n_rows) probabilities; no row and no column sums to more than 1.

    Notes
    -----
    Sum over all matchings of the product of their pairs, from the front and from the back (the forward-backward
    method of pairwise alignment: Durbin, Eddy, Krogh, Mitchison 1998, Biological Sequence Analysis, chapter 4).
    With F the sum for the first i swings and j rows, either swing i stays alone or it has one of these rows:
    ``F[i, j] = F[i-1, j] + sum over k <= j of likelihood[i, k] F[i-1, k-1]``.
    """
    n, m = likelihood.shape
    if n == 0 or m == 0:
        return np.zeros((n, m))
    front, front_log = _sum_matchings(likelihood)
    back, back_log = _sum_matchings(likelihood[::-1, ::-1])
    back, back_log = back[::-1, ::-1], back_log[::-1]
    scale = np.exp(front_log[:-1] + back_log[1:] - front_log[-1])
    chances: FloatArray = likelihood * front[:-1, :-1] * back[1:, 1:] * scale[:, None] / front[-1, -1]
    return np.minimum(chances, 1.0)


def _sum_matchings(likelihood: FloatArray) -> tuple[FloatArray, FloatArray]:
    """(n + 1, m + 1) sums, each row divided by its largest; (n + 1,) logarithms of what it was divided by."""
    n, m = likelihood.shape
    total, log_scale = np.ones((n + 1, m + 1)), np.zeros(n + 1)
    for i in range(1, n + 1):
        above = total[i - 1]
        total[i] = above + np.concatenate([[0.0], np.cumsum(likelihood[i - 1] * above[:-1])])
        largest = total[i].max()
        total[i] /= largest
        log_scale[i] = log_scale[i - 1] + np.log(largest)
    return total, log_scale
