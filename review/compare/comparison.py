"""One measure, first batch against last: what was found."""

import math
from dataclasses import dataclass

from review.compare.scatter import ScatterChange
from review.compare.verdict import Verdict
from review.compare.window import Inside
from review.lesson import label


@dataclass(frozen=True)
class Comparison:
    """One measure of two batches.

    ``difference`` is last minus first in the measure's unit and sign, ``low``..``high`` its 95 %
    Welch interval, ``welch_t`` has the sign of the difference. ``permutation_p`` is two-sided, None
    where it says nothing (batches of two camera set-ups, or too few values). ``why`` gives the reason
    of the verdict, ``note`` what else must be known of the numbers.

    ``bca_low``..``bca_high`` is the 95 % bootstrap interval (n of 5 to 200 and a spread; an error of a whole
    set-up is not in it). ``robust_sd_...`` is the median absolute deviation x 1.4826. ``p`` is the larger
    of Welch's and the permutation p, ``adjusted_p`` the same after Holm over the aim's measures that can
    be judged. ``more_shots`` is how many more shots in the last batch would make the present difference
    clear as likely as not, None where more than 20 or not asked; ``more_shots_words`` says it, '' where not asked.
    ``typical_error`` is the repeatability of one value that was used, ``setup_sd`` one standard deviation
    of what the camera set-up adds to the error of the difference. ``remarks`` are sentences on drift and
    single shots, ``warnings`` on different clubs, targets or balls. Numbers that could not be had are NaN.
    """

    name: str
    key_frame: str
    n_first: int
    n_last: int
    mean_first: float
    mean_last: float
    sd_first: float
    sd_last: float
    difference: float
    low: float
    high: float
    welch_t: float
    welch_df: float
    welch_p: float
    hedges_g: float
    permutation_p: float | None
    verdict: Verdict
    why: str
    smallest_that_counts: float | None
    note: str
    in_aim: bool
    median_first: float = math.nan
    median_last: float = math.nan
    robust_sd_first: float = math.nan
    robust_sd_last: float = math.nan
    bca_low: float = math.nan
    bca_high: float = math.nan
    p: float = math.nan
    adjusted_p: float = math.nan
    scatter: ScatterChange | None = None
    inside: Inside | None = None
    more_shots: int | None = None
    more_shots_words: str = ""
    typical_error: float | None = None
    setup_sd: float = 0.0
    remarks: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()

    @property
    def label(self) -> str:
        """What a coach calls the measure: 'hip turn at impact'."""
        return label(self.name, self.key_frame)
