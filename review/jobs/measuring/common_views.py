"""From which sides all swings of a lesson are measured."""

from collections.abc import Mapping, Sequence

from review.lesson import Clip, View


def choose_common_views(seen: Sequence[set[View]]) -> set[View]:
    """Choose the views from which all swings of a lesson are measured, so that their errors are alike.

    Two views together are more exact than one, but a number from both must not be compared with a number from one:
    their errors differ. Both are used where every swing has both, else the view that most swings have (face-on where
    it is even).
    """
    if seen and all(len(views) == len(View) for views in seen):
        return set(View)
    counts = {view: sum(view in views for views in seen) for view in View}
    return {max(View, key=lambda view: counts[view])}


def keep_common_views(clips: Sequence[Clip], views: Mapping[str, View], common: set[View]) -> list[Clip]:
    """Keep the clips of the common views; a swing that has none of them is measured from what it has."""
    kept = [clip for clip in clips if views[clip.id] in common]
    return kept or list(clips)
