"""What two batches share beside the player: errors of a whole camera set-up; and values that are only bounds."""

from review.compare.samples import Sample

# One rendered player: hips, heel and shift were off by 9 to 30 % of a true difference between batches, shoulders at
# impact by 42 % (docs/accuracy.md).
_SCALE_SD = 0.2


def find_shared_variance(first: Sample, last: Sample) -> tuple[float, str]:
    """Variance that the shared errors add to the difference, and what to say of it ('' where they cancel)."""
    variance = first.shared_sd**2 + last.shared_sd**2
    if variance == 0 or (first.setup and first.setup == last.setup):
        return 0.0, ""
    both_named = bool(first.setup and last.setup)
    return variance, (
        "camera not set up the same way" if both_named else "its error may not cancel between the batches"
    )


def find_scale_variance(first: Sample, last: Sample, difference: float) -> float:
    """Variance of a difference inside one set-up: a shared error cancels only as far as it stays the same.

    It changes with the posture, so a difference is read too small or too large in proportion (docs/accuracy.md).
    """
    if not (first.setup and first.setup == last.setup and first.shared_sd + last.shared_sd > 0):
        return 0.0
    return (_SCALE_SD * difference) ** 2


def say_bounded(sample: Sample, which: str) -> str:
    """Say how many values of a batch are only bounds, '' where none is."""
    if not sample.n_bounded:
        return ""
    of = sample.n_bounded + len(sample.values)
    known = f"only known as '{sample.bounded_as}'" if sample.bounded_as else "only known as a bound"
    return f"{which} batch: {sample.n_bounded} of {of} {known}, left out of the mean"


def could_undo(first: Sample, last: Sample, difference: float) -> bool:
    """Whether the true values behind the bounds could shrink the difference of the others."""
    first_could = first.n_bounded > 0 and first.bounded_side * difference >= 0
    last_could = last.n_bounded > 0 and last.bounded_side * difference <= 0
    return first_could or last_could


def say_too_few(sample: Sample, which: str) -> str:
    """Say why a batch has less than two values."""
    n = len(sample.values)
    if not n and not sample.n_bounded:
        reason = sample.why_missing or "no swing has this number"
        return f"not measured in the {which} batch: {reason}"
    left = "1 value" if n == 1 else "no value"
    if sample.n_bounded:
        known = f" as '{sample.bounded_as}'" if sample.bounded_as else " as a bound"
        return f"{left} left in the {which} batch: {sample.n_bounded} of {sample.n_bounded + n} only known{known}"
    return f"only {left} in the {which} batch; at least 2 are needed"
