"""Learn to read impact from tracks of rendered swings with known truth; makes ``data/impact_reading.npz``.

Run by hand, not by the product, with one file for each pose model::

    python -m review.swing.learn_impact heavy=SWINGS.npz full=SWINGS.npz

SWINGS.npz holds tracks in the shipped mode, already as a right-hander's. Row by row: ``clip`` (n,) number of the clip,
``time_s`` (n,), ``image_px`` (n, 33, 3). Clip by clip: ``view`` ('face-on' or 'down-the-line'), ``impact_s``,
``size_px`` (m, 2) width and height.
"""

import sys
from pathlib import Path

import numpy as np

from review.lesson import FloatArray, View
from review.pose import LandmarkTrack
from review.swing.impact_reading import make_inputs

_RIDGE = 0.3
# guesses lie so far around the truth: the hands' lowest point is rarely further off
_OFF_S = np.arange(-0.05, 0.051, 0.01)
_SEED = 1


def load_tracks(path: Path, model: str) -> list[tuple[LandmarkTrack, View, float]]:
    """Read tracks with their view and impact."""
    with np.load(path) as kept:
        data = {name: kept[name] for name in kept.files}
    tracks = []
    for number in range(len(data["view"])):
        rows = data["clip"] == number
        px = data["image_px"][rows].astype(np.float64)
        width, height = (int(size) for size in data["size_px"][number])
        seen = np.ones(px.shape[:2])
        track = LandmarkTrack(data["time_s"][rows], px, np.zeros_like(px), seen, width, height, model, "tracked")
        tracks.append((track, View(str(data["view"][number])), float(data["impact_s"][number])))
    return tracks


def learn(tracks: list[tuple[LandmarkTrack, float]]) -> dict[str, FloatArray]:
    """Fit a ridge regression from the inputs around a guess to how far the guess is from impact."""
    random = np.random.default_rng(_SEED)
    inputs, offs = [], []
    for track, impact_s in tracks:
        for off_s in _OFF_S + random.uniform(-0.005, 0.005, len(_OFF_S)):
            found = make_inputs(track, 1.0, impact_s + off_s)
            if found is not None:
                inputs.append(found)
                offs.append(-off_s)
    x, y = np.array(inputs), np.array(offs)
    mean, spread = x.mean(axis=0), x.std(axis=0) + 1e-3 * x.std()
    z = (x - mean) / spread
    weights = z.T @ np.linalg.solve(z @ z.T + _RIDGE * len(y) * np.eye(len(y)), y - y.mean())
    return {"mean": mean, "spread": spread, "weights": weights, "offset_s": np.asarray(y.mean())}


def main(arguments: list[str]) -> None:
    """Learn each model and view and write the file."""
    kept: dict[str, FloatArray] = {}
    for argument in arguments:
        model, _, path = argument.partition("=")
        tracks = load_tracks(Path(path), model)
        for view in View:
            of_view = [(track, impact_s) for track, seen_from, impact_s in tracks if seen_from is view]
            found = learn(of_view)
            kept |= {f"{model} {view.value} {name}": value.astype(np.float32) for name, value in found.items()}
            sys.stdout.write(f"{model}, {view.value}: {len(of_view)} clips\n")
    np.savez_compressed(Path(__file__).parent / "data" / "impact_reading.npz", **kept)  # type: ignore[arg-type]


if __name__ == "__main__":
    main(sys.argv[1:])
