"""What a check of held positions comes to, in words."""

from review.jobs.measuring.accuracy import LineCheck

# Median error on held positions of rendered players (hips, full model), and what one hold in ten exceeds.
_USUAL_MEDIAN_DEG, _USUAL_WORST_DEG = 7.0, 19.0
_POOR_MEDIAN_DEG = 12.0


def say_error(error_deg: float) -> str:
    """Read minus marked in words."""
    if abs(error_deg) < 0.5:
        return "as marked"
    return f"{abs(error_deg):.0f}° more {'open' if error_deg > 0 else 'turned away'}"


def say_verdict(checked: LineCheck) -> str:
    """How exactly this camera reads one line of this person."""
    if len(checked.errors_deg) < 3:
        return "Too few holds for a verdict; expected at least 3."
    if checked.median_deg > _POOR_MEDIAN_DEG:
        return (
            "This camera reads this person poorly: use differences between swings only. Check light, loose clothes, "
            "that the whole body is in the picture, and whether the marks are right."
        )
    if checked.n_inside < 0.7 * len(checked.errors_deg):
        return "The 90 % intervals are too narrow for this camera and person; take single numbers as rough."
    if checked.median_deg <= _USUAL_MEDIAN_DEG and checked.worst_deg <= _USUAL_WORST_DEG:
        return "As exact as on the rendered players this tool was checked on."
    return "A little less exact than on the rendered players this tool was checked on."
