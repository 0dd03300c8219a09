"""Probing, frame-exact decoding, sound and writing of video: the only place that knows codecs."""

from review.media.capture_time import CaptureTime, find_time_in_name, read_capture_time
from review.media.copy_map import CopyMap, DamagedCopyError
from review.media.copy_reading import ReviewCopy
from review.media.cutting import copy_part
from review.media.encoder import find_encoder
from review.media.footage import Footage, VideoSource
from review.media.frame_source import FrameSource
from review.media.frames import Frame, FrameReader, read_frames
from review.media.motion import PictureMotion, join_motion, read_picture_motion
from review.media.probing import VideoInfo, probe_video
from review.media.review_copy import write_review_copy
from review.media.sound import Audio, read_audio, read_audio_blocks
from review.media.writing import VideoWriter

__all__ = [
    "Audio",
    "CaptureTime",
    "CopyMap",
    "DamagedCopyError",
    "Footage",
    "Frame",
    "FrameReader",
    "FrameSource",
    "PictureMotion",
    "ReviewCopy",
    "VideoInfo",
    "VideoSource",
    "VideoWriter",
    "copy_part",
    "find_encoder",
    "find_time_in_name",
    "join_motion",
    "probe_video",
    "read_audio",
    "read_audio_blocks",
    "read_capture_time",
    "read_frames",
    "read_picture_motion",
    "write_review_copy",
]
