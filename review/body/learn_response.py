"""Learn the detector's response from rendered swings and stills with known truth; makes ``data/*.npz``.

Run by hand, not by the product, once for each pose model::

    python -m review.body.learn_response SWINGS.npz --model heavy --stills STILLS.npz --landmarks HEAVY.npz

SWINGS.npz holds frames of swings tracked in the shipped mode (``review.pose``), already as a right-hander's. Row by
row: ``clip`` (n,) number of the clip, ``time_s`` (n,), ``image_px`` and ``world_m`` (n, 33, 3), ``hip_turn_deg`` and
``shoulder_turn_deg`` (n,) against the target line, ``bearing_deg`` (n,) direction of the trunk from the camera's axis,
``heel_lift_cm`` and ``hip_shift_cm`` (n,). Clip by clip: ``view`` ('face-on' or 'down-the-line'), ``address_s``,
``target_deg`` (direction of the target line in camera axes, 0 = to the right, 90 = away), ``stature_m``; where given,
``swing``, the number of the swing (tracks of one swing are held out together), and
``share`` (1 unless said), what the clip counts beside others in learning turns. A clip tracked in another mode than the
shipped one (a single look where an average of two is shipped) may be a clip of its own with a smaller share: it shows
the networks the detector's own noise. Heel and hips are learnt from clips with share 1.

STILLS.npz holds single pictures of standing people: ``lm_image`` (n, 33, 4) x, y as parts of width and height, z,
visibility; ``lm_world`` (n, 33, 4) metres; ``detected`` (n,) whether somebody was found; ``image_size`` (n, 2) pixels;
``left_handed`` (n,); ``hip_yaw_cam_deg``, ``shoulder_yaw_cam_deg``, ``bearing_deg`` (n,). Landmarks and ``detected``
are taken from the ``--landmarks`` file when one is given: those of another model on the same pictures. Stills teach the
direction of a line only, in more postures than a swing has.
"""

import argparse
import sys
from pathlib import Path

import numpy as np

from review.body.features import (
    arm_inputs,
    compute_heel_inputs,
    compute_hips_moved,
    compute_move_inputs,
    compute_turn_inputs,
)
from review.body.learning import Samples, learn_ensemble, spread_label
from review.body.learning_clips import Clip, Stills, load_clips, load_stills
from review.body.network import Ensemble
from review.body.response import ANGLES_DEG, HIPS_MISSED, LINES, Line
from review.body.scale import measure_stature_px
from review.lesson import FloatArray, View

_LABEL_SD_DEG, _LABEL_SD = 5.0, 0.004
_STILLS_WEIGHT = 2.0
# More noise (and dropout, see learning.py) pulls the readings of one moment of the swing together: half of a true
# difference between two batches was lost at four times this noise.
_NOISE = 0.02
# Address as found lies around the true one; the response must not mind.
_ADDRESS_OFF_S = (-0.06, 0.09)
_ADDRESS_DRAWS = 2
# A swing in the mirror is a posture too, and one in which few players turn as they do in the swing.
_MIRRORED_SHARE = 0.5
_TURN_HIDDEN, _HIPS_HIDDEN = (192, 128), (96, 64)
_FOLDS = 5
_N_NETWORKS = 3
# Single networks differ by 2 degrees (SD) in what they make of one player's difference between batches of 16.
_N_TURN_NETWORKS: dict[Line, int] = {"hip": 16, "shoulder": 3}


def learn_turn(clips: list[Clip], stills: Stills | None, line: Line) -> Ensemble:
    """Learn the response of one line; both views in one, the networks know only the line of sight."""
    random = np.random.default_rng(0)
    column = LINES.index(line)
    inputs, directions, weights = [], [], []
    whole = [clip for clip in clips if clip.share == 1.0]
    for clip in [*clips, *(clip.in_mirror(_MIRRORED_SHARE) for clip in whole)]:
        for _ in range(_ADDRESS_DRAWS if clip in whole else 1):
            still = clip.still_frames(clip.address_s + random.uniform(*_ADDRESS_OFF_S))
            inputs.append(compute_turn_inputs(clip.image_px, clip.world_m, still))
            directions.append(clip.direction_deg[:, column])
            weights.append(clip.weights())
    if stills is not None:
        inputs.append(compute_turn_inputs(stills.image_px, stills.world_m, None))
        directions.append(stills.direction_deg[:, column])
        weights.append(np.full(len(stills.direction_deg), _STILLS_WEIGHT))
    label = spread_label(np.concatenate(directions), ANGLES_DEG, _LABEL_SD_DEG, period=360.0)
    rows = np.concatenate(inputs)
    n_posture = (rows.shape[1] - 1) // 2
    return learn_ensemble(
        Samples(rows, np.concatenate(weights), {line: ANGLES_DEG}, {line: label}),
        _TURN_HIDDEN,
        _N_TURN_NETWORKS[line],
        noise=_NOISE,
        forget_inputs=slice(n_posture, 2 * n_posture + 1),
        forget_share=0.15,
        blind_to=arm_inputs() if line == "hip" else None,
    )


def learn_hips(clips: list[Clip]) -> Ensemble:
    """Learn what mid-hip of the landmarks misses of the hip shift, face-on."""
    random = np.random.default_rng(0)
    inputs, missed, weights = [], [], []
    for clip in clips:
        if clip.view is not View.FACE_ON:
            continue
        for _ in range(_ADDRESS_DRAWS):
            still = clip.still_frames(clip.address_s + random.uniform(*_ADDRESS_OFF_S))
            stature_px = measure_stature_px(clip.image_px[still], clip.view)
            inputs.append(compute_move_inputs(clip.image_px, clip.world_m, still, stature_px))
            missed.append(clip.hip_shift - compute_hips_moved(clip.image_px, still, stature_px))
            weights.append(clip.weights())
    label = spread_label(np.concatenate(missed), HIPS_MISSED, _LABEL_SD)
    samples = Samples(np.concatenate(inputs), np.concatenate(weights), {"hips": HIPS_MISSED}, {"hips": label})
    return learn_ensemble(samples, _HIPS_HIDDEN, _N_NETWORKS, noise=0.05, forget_inputs=slice(0), forget_share=0.0)


def learn_heel(clips: list[Clip], view: View) -> tuple[FloatArray, FloatArray]:
    """Fit the heel lift as a weighted sum of ``compute_heel_inputs`` by least squares with a small ridge.

    Frames count by one over the root of how common their lift is: most have the heel down, few have it far up.

    Returns
    -------
    weights : one for each input. sd : (2,) on the ground as part of stature, and growing with the lift; from clips left
    out of the fit.
    """
    random = np.random.default_rng(0)
    inputs: list[FloatArray] = []
    lifts: list[FloatArray] = []
    weights: list[FloatArray] = []
    folds: list[FloatArray] = []
    for clip in clips:
        if clip.view is not view:
            continue
        still = clip.still_frames(clip.address_s + random.uniform(*_ADDRESS_OFF_S))
        stature_px = measure_stature_px(clip.image_px[still], view)
        inputs.append(compute_heel_inputs(clip.image_px, still, stature_px, view))
        lifts.append(clip.heel_lift)
        weights.append(clip.weights())
        folds.append(np.full(len(clip.time_s), clip.number % _FOLDS))
    x, y, fold = np.concatenate(inputs), np.concatenate(lifts), np.concatenate(folds)
    edges = np.linspace(y.min(), y.max(), 31)
    counts = np.histogram(y, bins=edges, weights=np.concatenate(weights))[0].astype(float)
    density = counts[np.clip(np.digitize(y, edges) - 1, 0, 29)] + 0.02 * counts.max()
    weight = np.concatenate(weights) / np.sqrt(density)
    error = np.empty(len(y))
    for k in range(_FOLDS):
        out = fold == k
        error[out] = x[out] @ _fit_ridge(x[~out], y[~out], weight[~out]) - y[out]
    on_the_ground = float(np.sqrt(np.mean(error[y < 0.003] ** 2)))
    lifted = (y > 0.01) & (y < 0.06)
    growing = float(np.mean((error[lifted] ** 2 - on_the_ground**2) / y[lifted] ** 2))
    return _fit_ridge(x, y, weight), np.array([on_the_ground, max(growing, 0.0) ** 0.5])


def _fit_ridge(x: FloatArray, y: FloatArray, weight: FloatArray) -> FloatArray:
    scaled = x * np.sqrt(weight)[:, None]
    size = np.sqrt((scaled**2).mean(axis=0))
    gram = (scaled / size).T @ (scaled / size) / len(x)
    right = (scaled / size).T @ (y * np.sqrt(weight)) / len(x)
    return np.asarray(np.linalg.solve(gram + 1e-3 * np.eye(len(gram)), right) / size)


def report_turn_errors(ensemble: Ensemble, clips: list[Clip], line: Line) -> None:
    """Print how far the mean direction is from the truth, frame by frame, without smoothing."""
    wheel = np.exp(1j * np.radians(ANGLES_DEG))
    for view in View:
        errors: list[FloatArray] = []
        for clip in clips:
            if clip.view is view:
                inputs = compute_turn_inputs(clip.image_px, clip.world_m, clip.still_frames(clip.address_s))
                true = np.exp(1j * np.radians(clip.direction_deg[:, LINES.index(line)]))
                errors.append(np.abs(np.angle(np.exp(ensemble.log_shares(inputs)[line]) @ wheel / true, deg=True)))
        if errors:
            median, tail = np.quantile(np.concatenate(errors), [0.5, 0.9])
            sys.stdout.write(f"{view.value} {line}: median {median:.1f}, 90th percentile {tail:.1f} degrees\n")


def main() -> None:
    """Learn with one clip in five held out, print its errors, then learn from all and write the files."""
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("swings", type=Path)
    parser.add_argument("--model", required=True, choices=("full", "heavy"))
    parser.add_argument("--stills", type=Path)
    parser.add_argument("--landmarks", type=Path)
    parser.add_argument("--out", type=Path, default=Path(__file__).parent / "data")
    parser.add_argument("--moves-only", action="store_true", help="learn heel and hips only")
    parser.add_argument("--skip-trial", action="store_true", help="do not learn a first time to print errors")
    options = parser.parse_args()
    clips = load_clips(options.swings)
    whole = [clip for clip in clips if clip.share == 1.0]
    stills = load_stills(options.stills, options.landmarks) if options.stills else None
    for line in () if options.moves_only else LINES:
        if not options.skip_trial:
            tried = [clip for clip in whole if clip.number % _FOLDS == 0]
            report_turn_errors(learn_turn([clip for clip in clips if clip.number % _FOLDS], stills, line), tried, line)
        learn_turn(clips, stills, line).save(options.out / f"{line}_turn_{options.model}.npz")
    learn_hips(whole).save(options.out / f"hips_{options.model}.npz")
    heel = {}
    for view in View:
        heel[f"weights_{view.value}"], heel[f"sd_{view.value}"] = learn_heel(whole, view)
        sys.stdout.write(f"heel {view.value}: {heel[f'weights_{view.value}']}, sd {heel[f'sd_{view.value}']}\n")
    with (options.out / f"heel_{options.model}.npz").open("wb") as file:
        np.savez(file, **heel)  # type: ignore[arg-type]


if __name__ == "__main__":
    main()
