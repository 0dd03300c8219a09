"""Opens the live view by itself, on the whole screen."""

from review.app.ground.view import GroundView
from review.app.start import make_application
from review.jobs.pressure.live_mat import LiveMat
from review.jobs.pressure.live_trace import LiveTrace


def run_ground(trace: LiveTrace, mat: LiveMat) -> int:
    """Show the pressure until the view is closed.

    Raises
    ------
    MachineError
        There is no screen.
    """
    application = make_application()
    view = GroundView(trace, mat)
    view.showFullScreen()
    return int(application.exec())
