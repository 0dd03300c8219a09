"""The pictures of docs/charts.md, of the sample lesson: ``python -m tests.charts.sample_pictures docs/img``."""

import csv
import sys
from pathlib import Path

import numpy as np

from review.charts import (
    FlightBatch,
    FlightChart,
    RunChart,
    RunPoint,
    StrikeBatch,
    StrikePicture,
    StripPlot,
    draw_flight_chart,
    draw_run_chart,
    draw_strike_picture,
    draw_strip_plot,
)
from review.compare import Sample, Window, compare_samples
from review.lesson import Handedness
from review.shots.flight.trajectory import YARD_M, Launch, compute_flight

SHOTS = Path(__file__).parents[2] / "sample_clips" / "shots.csv"
HAND, UNDER, BATCH = Handedness.RIGHT, "Ines Calder (invented), 14 March 2026, 6-iron", 5

_SCALE = 1.3


def main(folder: Path) -> None:
    with SHOTS.open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))

    def column(heading: str) -> np.ndarray:
        return np.array([float(row[heading]) for row in rows])

    first, last = slice(0, BATCH), slice(2 * BATCH, 3 * BATCH)
    path = column("club path [deg]")
    points = tuple(RunPoint(n + 1, float(v), n // BATCH + 1) for n, v in enumerate(path))
    run = RunChart("club_path_deg", HAND, points, under=UNDER, window=Window(-1.0, 2.0))
    (folder / "charts_run.png").write_bytes(draw_run_chart(run).to_png(_SCALE))
    samples = Sample(tuple(path[first])), Sample(tuple(path[last]))
    found = compare_samples("club_path_deg", *samples, repeatability=0.5, batches_closed=True, in_aim=True)
    plot = StripPlot(found, *samples, HAND, numbers=(1, 3), under=UNDER)
    (folder / "charts_first_last.png").write_bytes(draw_strip_plot(plot).to_png(_SCALE))
    launch = Launch(
        column("ball speed [mph]"),
        column("launch angle [deg]"),
        column("launch direction [deg]"),
        column("back spin [rpm]"),
        column("spin axis [deg]"),
    )
    ways = compute_flight(launch).path_yd * YARD_M
    flights = FlightBatch(1, tuple(ways[first])), FlightBatch(3, tuple(ways[last]))
    (folder / "charts_flight.png").write_bytes(draw_flight_chart(FlightChart(flights, under=UNDER)).to_png(_SCALE))
    strikes = np.column_stack([column("impact across [mm]"), column("impact up [mm]")])
    batches = StrikeBatch(1, strikes[first]), StrikeBatch(3, strikes[last])
    (folder / "charts_strike.png").write_bytes(
        draw_strike_picture(StrikePicture(batches, HAND, under=UNDER)).to_png(_SCALE)
    )


if __name__ == "__main__":
    main(Path(sys.argv[1]))
