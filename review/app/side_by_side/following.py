"""Two swings that are on the screen take in what was corrected or undone; frame, lock and speed stay."""

from review.app.side_by_side.feet import place_on_feet
from review.app.side_by_side.lock import shared_names, usual_name
from review.app.side_by_side.pair_player import PairPlayer
from review.jobs.showing.pair import PairShown
from review.lesson import Drawing


def renew_pair(player: PairPlayer, pair: PairShown) -> bool:
    """Take in other batches, key frames, points of the body and drawings of the same clips; False where they differ."""
    by_id = [{one.clip.id: one for one in side.clips} for side in pair.sides]
    ids = [clip.clip.id for clip in player.clips]
    if any(id not in there for id, there in zip(ids, by_id, strict=True)):
        return False
    player.pair = player.screens.pair = pair
    player.clips = (by_id[0][ids[0]], by_id[1][ids[1]])
    for screen, clip in zip(player.screens.all, player.clips, strict=True):
        screen.shown = clip
    player.screens.swing_orders = (pair.first.swing.order, pair.last.swing.order)
    player.names = shared_names(player.clips)
    if player.lock is not None:
        at = player.lock.at if player.lock.at in player.names else usual_name(player.names)
        player.lock_here(at, player.lock.is_time_altered)
    if not player.through.isHidden():
        found = place_on_feet(*player.clips)
        if isinstance(found, str):
            player.toggle_through()
            player.refused.emit(found)
        else:
            player.through.placing = found
    player.redraw()
    return True


def renew_drawing(player: PairPlayer, clip_id: str, drawing_id: str, drawing: Drawing | None) -> None:
    """Take in a clip's drawing as it is now, None = it is gone."""
    for side in player.pair.sides:
        if clip_id in side.drawings:
            there = {one.id: one for one in side.drawings[clip_id]}
            there.pop(drawing_id, None)
            if drawing is not None:
                there[drawing_id] = drawing
            side.drawings[clip_id] = tuple(there.values())
    player.redraw()
