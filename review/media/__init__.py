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
from review.media.planes import Planes, PlanesFrame, read_planes, resize_planes, to_planes, to_rgb
from review.media.probing import VideoInfo, probe_video
from review.media.recording import Recording, is_silent
from review.media.review_copy import write_review_copy
from review.media.sound import Audio, read_audio, read_audio_blocks
from review.media.sound_devices import OpenMicrophone, Playing, SoundDevices, TakeBlock, open_sound_devices
from review.media.voice_file import VOICE_SUFFIX, read_voice, write_voice
from review.media.writing import VideoWriter

__all__ = [
    "VOICE_SUFFIX",
    "Audio",
    "CaptureTime",
    "CopyMap",
    "DamagedCopyError",
    "Footage",
    "Frame",
    "FrameReader",
    "FrameSource",
    "OpenMicrophone",
    "PictureMotion",
    "Planes",
    "PlanesFrame",
    "Playing",
    "Recording",
    "ReviewCopy",
    "SoundDevices",
    "TakeBlock",
    "VideoInfo",
    "VideoSource",
    "VideoWriter",
    "copy_part",
    "find_encoder",
    "find_time_in_name",
    "is_silent",
    "join_motion",
    "open_sound_devices",
    "probe_video",
    "read_audio",
    "read_audio_blocks",
    "read_capture_time",
    "read_frames",
    "read_picture_motion",
    "read_planes",
    "resize_planes",
    "to_planes",
    "to_rgb",
    "read_voice",
    "write_review_copy",
    "write_voice",
]
