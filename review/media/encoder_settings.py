"""What the encoder is asked for: video that any phone plays."""

from dataclasses import dataclass
from fractions import Fraction
from pathlib import Path

import ffmpeg

_PRESET = "veryfast"
_AUDIO_BITRATE = "128k"


@dataclass(frozen=True)
class EncoderSettings:
    """Size, rate and fineness of a video; ``VideoWriter`` says what each means.

    H.264 high profile, 8-bit 4:2:0, constant frame rate, BT.709 colours, index at the front, no metadata.
    """

    width_px: int
    height_px: int
    rate_hz: Fraction
    crf: int
    pictures_per_start: int | None
    most_bits_per_s: float | None
    takes_planes: bool

    def make_graph(self, to: Path, sound: Path | None) -> "ffmpeg.nodes.OutputStream":
        """From raw pictures in a pipe, and the sound of a WAV file, to a video file."""
        streams: list[ffmpeg.nodes.FilterableStream] = [self._pictures()]
        options: dict[str, str | int | None] = {}
        if sound is not None:
            streams.append(ffmpeg.input(str(sound), format="wav").audio.filter("apad"))
            options = {"acodec": "aac", "audio_bitrate": _AUDIO_BITRATE, "shortest": None}
        if self.most_bits_per_s is not None:
            options |= {"maxrate": round(self.most_bits_per_s), "bufsize": round(self.most_bits_per_s)}
        if self.pictures_per_start is not None:
            options["g"] = self.pictures_per_start
        output = ffmpeg.output(
            *streams,
            str(to),
            format="mp4",
            vcodec="libx264",
            preset=_PRESET,
            crf=self.crf,
            movflags="+faststart",
            map_metadata=-1,
            fflags="+bitexact",
            fps_mode="passthrough",
            colorspace="bt709",
            color_primaries="bt709",
            color_trc="bt709",
            color_range="tv",
            **{"profile:v": "high", "flags:v": "+bitexact", "flags:a": "+bitexact"},
            **options,
        )
        return output.global_args("-hide_banner", "-loglevel", "error", "-nostats").overwrite_output()

    def _pictures(self) -> "ffmpeg.nodes.FilterableStream":
        pictures = ffmpeg.input(
            "pipe:",
            format="rawvideo",
            pix_fmt="yuv420p" if self.takes_planes else "rgb24",
            video_size=(self.width_px, self.height_px),
            framerate=f"{self.rate_hz.numerator}/{self.rate_hz.denominator}",
        )
        if self.takes_planes:  # raw planes come without a word about their colours
            return pictures.filter("setparams", colorspace="bt709", range="tv")
        return pictures.filter("scale", out_color_matrix="bt709", out_range="tv").filter("format", "yuv420p")
