"""What is known of a camera from lesson to lesson."""

from dataclasses import dataclass


@dataclass(frozen=True)
class SoundOffset:
    """How much later a camera's sound lies than its pictures.

    ``offset_s`` presentation seconds, + sound late (the way of the sound from ball to microphone included);
    ``spread_s`` standard deviation from clip to clip; ``n_clips`` clips it was learnt from.
    """

    offset_s: float
    spread_s: float
    n_clips: int

    def __post_init__(self) -> None:
        if self.n_clips < 1 or self.spread_s < 0:
            raise ValueError(f"expected clips and a spread not negative, got {self.n_clips} and {self.spread_s}")
