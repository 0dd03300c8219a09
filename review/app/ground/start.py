"""Opens the live view by itself, on the whole screen."""

from collections.abc import Sequence

from review.app.ground.view import GroundView
from review.app.start import make_application
from review.jobs.pressure.live_trace import LiveTrace
from review.lesson import FloatArray, Handedness


def run_ground(trace: LiveTrace, feet_cm: Sequence[FloatArray], handedness: Handedness) -> int:
    """Show the pressure until the view is closed.

    Raises
    ------
    MachineError
        There is no screen.
    """
    application = make_application()
    side = 1.0 if handedness is Handedness.RIGHT else -1.0
    view = GroundView(trace, feet_cm, side)
    view.showFullScreen()
    return int(application.exec())
