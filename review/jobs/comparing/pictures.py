"""Pictures of a comparison: the aim along the lesson and first against last, flight, strike."""

import math
from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path

import numpy as np

from review.charts import (
    PHONE,
    BatchChart,
    BatchPoint,
    Canvas,
    Drawing,
    FlightBatch,
    FlightChart,
    PressurePicture,
    RunChart,
    RunPoint,
    StrikeBatch,
    StrikePicture,
    StripPlot,
    draw_batch_chart,
    draw_flight_chart,
    draw_pressure_picture,
    draw_run_chart,
    draw_strike_picture,
    draw_strip_plot,
    write_drawing,
)
from review.compare import Comparison, MeasureKey, Sample, Window, make_sample
from review.compare.samples import counted, measures_of_swing
from review.errors import BadInputError
from review.lesson import Batch, Handedness, Measure, Shot, Swing, SwingKind
from review.shots.flight import compute_flight, gather_strikes, make_launch
from review.shots.flight.trajectory import YARD_M

_MIN_BATCHES = 3
FLIGHT_NEEDS = (
    "it needs ball speed, launch angle, spin, and spin axis or side spin or else face, path, attack angle and loft"
)
_HOW_FLOWN = "Shape computed from launch and spin, end as measured."


@dataclass(frozen=True)
class Pictured:
    """What pictures are made of: batches in order with their swings, first and last among them by their id."""

    batches: tuple[tuple[Batch, tuple[Swing, ...]], ...]
    first_id: str
    last_id: str
    body: Mapping[str, Sequence[Measure]]
    comparisons: tuple[Comparison, ...]
    handedness: Handedness
    under: str
    windows: Mapping[MeasureKey, Window]
    counted_as: str = "swing of the lesson"

    def swings_of(self, batch_id: str) -> tuple[Swing, ...]:
        """The swings of a batch that count."""
        return tuple(counted(next(swings for batch, swings in self.batches if batch.id == batch_id)))


def draw_comparison(
    pictured: Pictured, to: Path, canvas: Canvas = PHONE, ways: PressurePicture | None = None
) -> tuple[Path, ...]:
    """Draw every picture that there are numbers for into the folder ``to``, each as SVG and PNG; ``ways`` too.

    Raises
    ------
    BadInputError
        When there is nothing to draw.
    MachineError
        When the folder cannot be written.
    """
    drawings: dict[str, Drawing] = {}
    for c in (c for c in pictured.comparisons if c.in_aim and c.n_first and c.n_last):
        name = c.name + (f"_{c.key_frame}" if c.key_frame else "")
        drawings[f"{name}_first_last"] = draw_strip(pictured, c, canvas)
        drawings[f"{name}_along"] = _draw_run(pictured, c, canvas)
        if len(pictured.batches) >= _MIN_BATCHES:
            drawings[f"{name}_batches"] = _draw_batches(pictured, c, canvas)
    drawings |= draw_balls(pictured, canvas)
    if ways is not None:
        drawings["pressure"] = draw_pressure_picture(ways, canvas)
    if not drawings:
        raise BadInputError(
            "There is nothing to draw: no measure of the aim (--aim), no strike, and no launch that can be flown "
            f"({FLIGHT_NEEDS})."
        )
    to.mkdir(parents=True, exist_ok=True)
    return tuple(write_drawing(d, to / f"{name}.{end}") for name, d in drawings.items() for end in ("svg", "png"))


def draw_balls(pictured: Pictured, canvas: Canvas = PHONE) -> dict[str, Drawing]:
    """Draw how the balls of both batches flew ('flight') and where they were struck ('strike'), where it is known."""
    drawings: dict[str, Drawing] = {}
    chosen = [(batch, pictured.swings_of(batch.id)) for batch in _first_and_last(pictured)]
    flights = [FlightBatch(batch.number, ways, batch.cue) for batch, swings in chosen if (ways := _fly(swings))]
    if flights:
        drawings["flight"] = draw_flight_chart(
            FlightChart(tuple(flights), under=". ".join(filter(None, (pictured.under, _HOW_FLOWN)))), canvas
        )
    strikes = [
        StrikeBatch(batch.number, points, batch.cue)
        for batch, swings in chosen
        if len(points := gather_strikes([s.shot for s in swings if s.shot is not None]))
    ]
    if strikes:
        picture = StrikePicture(tuple(strikes), pictured.handedness, under=pictured.under)
        drawings["strike"] = draw_strike_picture(picture, canvas)
    return drawings


def draw_balls_for_screen(
    pictured: Pictured,
    place_px: tuple[float, float | None],
    letter_px: float,
    is_dark: bool,
    fineness: float = 1.0,
    say: Callable[[str], str] = str,
) -> dict[str, bytes]:
    """Draw flight and strike as PNG for a window, ``fineness`` picture pixels to a pixel of the window.

    ``place_px`` is the width and the height of each; without a height it is as high as it needs. ``say`` says the
    picture's own words in the coach's language.
    """
    canvas = Canvas.on_page(place_px, letter_px, is_dark, say)
    return {name: drawing.to_png(fineness) for name, drawing in draw_balls(pictured, canvas).items()}


def _first_and_last(pictured: Pictured) -> list[Batch]:
    by_id = {batch.id: batch for batch, _ in pictured.batches}
    return [by_id[pictured.first_id], by_id[pictured.last_id]]


def draw_strip(pictured: Pictured, c: Comparison, canvas: Canvas = PHONE, is_bare: bool = False) -> Drawing:
    """Draw the shots of the first and the last batch with their means and the difference; ``is_bare`` without words."""
    first, last = _first_and_last(pictured)
    samples = [_sample(pictured, pictured.swings_of(batch.id), c) for batch in (first, last)]
    plot = StripPlot(
        c,
        samples[0],
        samples[1],
        pictured.handedness,
        numbers=(first.number, last.number),
        names=(first.cue, last.cue),
        under=pictured.under,
        is_bare=is_bare,
    )
    return draw_strip_plot(plot, canvas)


def _draw_run(pictured: Pictured, c: Comparison, canvas: Canvas) -> Drawing:
    points = [
        RunPoint(swing.order, found.value, batch.number, bool(swing.left_out), found.bound)
        for batch, swings in pictured.batches
        for swing in swings
        if swing.kind is SwingKind.SHOT and (found := _measure(pictured, swing, c)) is not None
    ]
    chart = RunChart(
        c.name,
        pictured.handedness,
        tuple(sorted(points, key=lambda p: p.order)),
        key_frame=c.key_frame,
        under=pictured.under,
        window=pictured.windows.get((c.name, c.key_frame)),
        counted_as=pictured.counted_as,
    )
    return draw_run_chart(chart, canvas)


def _draw_batches(pictured: Pictured, c: Comparison, canvas: Canvas) -> Drawing:
    points = tuple(
        BatchPoint(batch.number, _sample(pictured, counted(swings), c), batch.cue) for batch, swings in pictured.batches
    )
    chart = BatchChart(c.name, pictured.handedness, points, key_frame=c.key_frame, under=pictured.under)
    return draw_batch_chart(chart, canvas)


def _measure(pictured: Pictured, swing: Swing, c: Comparison) -> Measure | None:
    found = measures_of_swing(swing, pictured.body).get((c.name, c.key_frame))
    return None if found is None or found.why_missing else found


def _sample(pictured: Pictured, swings: Sequence[Swing], c: Comparison) -> Sample:
    measures = [measures_of_swing(swing, pictured.body).get((c.name, c.key_frame)) for swing in swings]
    return make_sample(measures, pictured.handedness, [swing.order for swing in swings])


def _fly(swings: Sequence[Swing]) -> tuple[np.ndarray, ...]:
    """Ways of the balls, (n, 3) in metres: their shape from launch and spin, their end as the device has it."""
    shots = [swing.shot for swing in swings if swing.shot is not None]
    if not shots:
        return ()
    ways = compute_flight(make_launch(shots)).path_yd
    ended = (_end_as_measured(way, shot) for way, shot in zip(ways, shots, strict=True) if np.all(np.isfinite(way)))
    return tuple(way * YARD_M for way in ended)


def _end_as_measured(way_yd: np.ndarray, shot: Shot) -> np.ndarray:
    """Stretch a way to the carry, side and height that the device gives; the model's own where it gives none."""
    side, far = way_yd[-1, 0], way_yd[-1, 1]
    carry = shot.values.get("carry_yd", math.nan)
    offline = shot.values.get("offline_yd", math.nan)
    if not 0 < carry < math.inf or not far > 0:
        return way_yd
    if not abs(offline) < carry:
        offline = side * carry / math.hypot(side, far)
    along = math.sqrt(carry**2 - offline**2) / far
    height, top = shot.values.get("height_yd", math.nan), float(way_yd[:, 2].max())
    up = height / top if 0 < height < math.inf and top > 0 else along
    stretched: np.ndarray = way_yd * np.array([along, along, up])
    # what is left sideways grows with the square of the distance, as a curve does
    stretched[:, 0] += (offline - stretched[-1, 0]) * (stretched[:, 1] / stretched[-1, 1]) ** 2
    return stretched
