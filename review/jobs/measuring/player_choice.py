"""Which player set-up corrects a clip, and why another does not."""

from collections.abc import Sequence
from dataclasses import dataclass

from review.body import PlayerCorrection
from review.jobs.measuring.player_files import PlayerSetup, name_response
from review.lesson import Handedness, View
from review.pose import LandmarkTrack


@dataclass(frozen=True)
class PlayerChoice:
    """Which player set-up corrects a clip.

    correction, used : of the set-up that fits and its name; None and '' when none does. refused : names of those that
    ought to serve this run (quick or thorough) and do not. note : why none is used, for the coach.
    """

    correction: PlayerCorrection | None = None
    used: str = ""
    refused: frozenset[str] = frozenset()
    note: str = ""


def choose_correction(
    setups: Sequence[PlayerSetup], track: LandmarkTrack, view: View, handedness: Handedness
) -> PlayerChoice:
    """Choose the set-up that was made with this pose model from this view."""
    if not setups:
        return PlayerChoice()
    refused = frozenset(s.name for s in setups if s.model == track.model)
    same_way = [s for s in setups if (s.model, s.view, s.handedness) == (track.model, view, handedness)]
    if not same_way:
        made = "; ".join(f"{s.name} was made {_say_way(s.model, s.view, s.handedness)}" for s in setups)
        note = (
            f"No player set-up was used: this is {_say_way(track.model, view, handedness)}; {made}. "
            "Make one for this way of measuring with check-accuracy."
        )
        return PlayerChoice(refused=refused, note=note)
    setup = same_way[-1]
    problem = ""
    if setup.size_px != (track.width_px, track.height_px):
        problem = (
            f"its clip had {setup.size_px[0]} x {setup.size_px[1]} pixels, this one has {track.width_px} x "
            f"{track.height_px}. Film both with the same camera in the same place."
        )
    elif setup.response != name_response(track.model):
        problem = "it was made by another version of this program. Make it again from its clip with check-accuracy."
    if problem:
        return PlayerChoice(refused=refused, note=f"The player set-up {setup.name} was not used: {problem}")
    return PlayerChoice(setup.correction(), setup.name)


def _say_way(model: str, view: View, handedness: Handedness) -> str:
    """View, hand and run in the coach's words: the quick run has the full model, the thorough one the heavy."""
    run = {"full": "quick run", "heavy": "thorough run"}.get(model, f"{model} model")
    return f"{view.value}, {handedness.value}-handed, {run}"
