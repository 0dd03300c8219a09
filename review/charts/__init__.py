"""Pictures of shots and batches as SVG or PNG; the only room that knows matplotlib.

Matplotlib is loaded when the first picture is drawn, not on import, so that other commands start as fast as before.
"""

from review.charts.batch_chart import BatchChart, BatchPoint, draw_batch_chart
from review.charts.drawing import Drawing, write_drawing
from review.charts.feet import outline_foot, place_feet
from review.charts.flight_chart import DistanceUnit, FlightBatch, FlightChart, draw_flight_chart
from review.charts.looks import PHONE, SCREEN, Canvas, look_of
from review.charts.pressure_picture import PressureBatch, PressurePicture, draw_pressure_picture
from review.charts.run_chart import RunChart, RunPoint, draw_run_chart
from review.charts.strike_picture import StrikeBatch, StrikePicture, draw_strike_picture
from review.charts.strip_plot import StripPlot, draw_strip_plot

__all__ = [
    "PHONE",
    "SCREEN",
    "BatchChart",
    "BatchPoint",
    "Canvas",
    "DistanceUnit",
    "Drawing",
    "FlightBatch",
    "FlightChart",
    "PressureBatch",
    "PressurePicture",
    "RunChart",
    "RunPoint",
    "StrikeBatch",
    "StrikePicture",
    "StripPlot",
    "draw_batch_chart",
    "draw_flight_chart",
    "draw_pressure_picture",
    "draw_run_chart",
    "draw_strike_picture",
    "draw_strip_plot",
    "look_of",
    "outline_foot",
    "place_feet",
    "write_drawing",
]
