"""The encoder that comes with the installation."""

import imageio_ffmpeg

from review.errors import MachineError


def find_encoder() -> str:
    """Return the name and version of the encoder.

    Raises
    ------
    MachineError
        When it is missing.
    """
    try:
        return f"ffmpeg {imageio_ffmpeg.get_ffmpeg_version()}"
    except (RuntimeError, OSError) as error:
        raise MachineError(
            "The video encoder is missing; install the program again (package imageio-ffmpeg)."
        ) from error
