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
    with np.errstate(divide="ignore"):  # the log of 0 is -inf, which is meant
        log_likelihood = np.log(likelihood)
    front = _sum_matchings(log_likelihood)
    back = _sum_matchings(log_likelihood[::-1, ::-1])[::-1, ::-1]
    chances: FloatArray = np.exp(log_likelihood + front[:-1, :-1] + back[1:, 1:] - front[-1, -1])
    return np.minimum(chances, 1.0)


def _sum_matchings(log_likelihood: FloatArray) -> FloatArray:
    """(n + 1, m + 1) natural logs of the sums: with hundreds on both sides they outgrow any float."""
    n, m = log_likelihood.shape
    total = np.zeros((n + 1, m + 1))
    for i in range(1, n + 1):
        above = total[i - 1]
        with_pair = np.logaddexp.accumulate(log_likelihood[i - 1] + above[:-1])
        total[i] = np.logaddexp(above, np.concatenate([[-np.inf], with_pair]))
    return total
