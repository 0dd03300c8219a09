"""Pictures of the pressure live: somebody stands on the lesson's mat, the pressure in the ring."""

import math
import tempfile
from collections.abc import Callable, Sequence
from pathlib import Path

import numpy as np
from PyQt5.QtWidgets import QWidget

from review.app.ground.view import GroundView
from review.app.look import DARK, LIGHT
from review.jobs.pressure.live_mat import LiveMat, find_live_mat
from review.jobs.pressure.live_source import GrowingFile
from review.jobs.pressure.live_trace import LiveTrace
from review.pressure import MatPlacement

_SMALL_PX = (800, 480)
_EVERY_S, _N = 0.02, 120
_SWAY_CM = 1.2

Save = Callable[[QWidget, Path], Path]


def draw_ground_live(
    to: Path, library: Path, lesson_id: str, sizes_px: Sequence[tuple[int, int]], save: Save
) -> list[Path]:
    """Draw it as the pupil stands, and as the coach sees it, in every size, and for a small screen."""
    mat, drawn = find_live_mat(library, lesson_id), []
    with tempfile.TemporaryDirectory() as folder:
        table = Path(folder) / "mat.csv"
        view = GroundView(LiveTrace(GrowingFile(table), mat.placement), mat)
        view.finish()
        _sway(view, table, mat)
        for name in ("pressure_live", "pressure_live_coach"):
            for theme in (DARK, LIGHT):
                view.set_theme(theme)
                for width, height in (_SMALL_PX, *sizes_px):
                    view.resize(width, height)
                    drawn.append(save(view, to / f"{name}_{theme.name}_{width}.png"))
            view.turn()
        view.deleteLater()
    return drawn


def _sway(view: GroundView, table: Path, mat: LiveMat) -> None:
    """Write somebody who stands still on the mat, and let the view follow it sample by sample."""
    placement = mat.placement or MatPlacement()
    origin_cm = np.array(placement.origin_cm)
    turned = placement.to_player(origin_cm + np.eye(2))  # orthogonal
    with table.open("a", encoding="utf-8") as file:
        file.write("time,x [cm],y [cm]\n")
        for n in range(_N):
            x, y = _SWAY_CM * math.sin(n / 25), 0.5 * _SWAY_CM * math.sin(n / 11)
            on_mat = origin_cm + np.array([x, y]) @ turned.T
            file.write(f"{_EVERY_S * n:.2f},{on_mat[0]:.3f},{on_mat[1]:.3f}\n")
            file.flush()
            view.go_on(_EVERY_S * n)
