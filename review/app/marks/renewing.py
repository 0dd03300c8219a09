"""A swing that is being looked at takes on other key frames and numbers; the frame that is on stays."""

from dataclasses import replace

from review.app.swing_view.player import SwingPlayer
from review.jobs.showing.swing import SwingShown


def renew_marks(player: SwingPlayer, shown: SwingShown) -> None:
    """Let time line, numbers and curves follow; clips meet at impact as it is now."""
    before, playhead = player.shown, player.playhead
    if playhead is None or [clip.clip.id for clip in shown.clips] != [clip.clip.id for clip in before.clips]:
        return
    player.shown = shown
    for screen, clip in zip(player.screens.all, shown.clips, strict=True):
        screen.shown = replace(screen.shown, key_frames=clip.key_frames)
    playhead.clocks = tuple(screen.clock for screen in player.screens.all)
    player.curves.show_curves(shown.curves, shown.curve_moments(), shown.clips[shown.measured].key_frames)
    player.lead_with(playhead.lead)
