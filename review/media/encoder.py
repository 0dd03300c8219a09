"""The encoder that comes with the installation, and what it says when it stops."""

from pathlib import Path

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


def encoder_error(path: Path, messages: list[str]) -> MachineError:
    """Turn what the encoder or the disk said into words for the coach."""
    text = "\n".join(messages).lower()
    where = f"'{path.name}' in '{path.parent}'"
    if "no space left" in text or "disk full" in text or "not enough space" in text or "quota" in text:
        return MachineError(f"Writing {where} stopped: the disk is full. Free some space and run it again.")
    if "permission denied" in text or "read-only" in text or "not permitted" in text:
        return MachineError(f"Writing {where} is not permitted. Choose a folder of yours or change its permissions.")
    if "unknown encoder" in text or "encoder not found" in text:
        return MachineError(
            "Expected an encoder for H.264 and AAC, but the installed one lacks it. "
            "Install the tool again (package imageio-ffmpeg)."
        )
    reason = messages[0] if messages else "it gave no reason"  # those that follow are its consequences
    return MachineError(f"Writing {where} failed ({reason}). Check the disk and run it again.")
