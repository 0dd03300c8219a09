"""Slow-motion files made of a sample clip: its stamps stretched, its pictures untouched."""

from pathlib import Path

import av
import numpy as np

SAMPLE = Path(__file__).parents[2] / "sample_clips" / "clips" / "20260314_101518.mp4"
_NOTES = {"movflags": "use_metadata_tags"}


def retime(
    path: Path, slowed: float, jitter_s: float = 0.0, noted_hz: float | None = None, from_s: float = 0.0
) -> Path:
    """Write the sample clip so that it plays slower (from a time on), silent, with uneven steps when there is a jitter.

    ``noted_hz`` is the camera's note of its rate.
    """
    rng = np.random.default_rng(4)
    with av.open(str(SAMPLE)) as source, av.open(str(path), "w", options=_NOTES) as out:
        if noted_hz is not None:
            out.metadata["com.android.capture.fps"] = str(noted_hz)
        pictures = source.streams.video[0]
        copy = out.add_stream_from_template(pictures)
        tick_s = float(pictures.time_base)
        shift_of: dict[int, int] = {}
        for packet in source.demux(pictures):
            if packet.dts is None or packet.pts is None:
                continue
            shift = shift_of.setdefault(packet.pts, int(rng.uniform(0, jitter_s) / tick_s))
            begin = from_s / tick_s
            packet.pts, packet.dts = (
                round(stamp + (slowed - 1.0) * max(0.0, stamp - begin)) for stamp in (packet.pts, packet.dts)
            )
            packet.pts += shift
            packet.duration, packet.stream = round((packet.duration or 0) * slowed), copy
            out.mux(packet)
    return path
