"""Frames to landmarks: the only room that knows the pose library and its model."""

from review.pose.estimator import Effort, Picture, PoseEstimator
from review.pose.mediapipe_estimator import MediaPipeEstimator, model_path
from review.pose.people import PeopleFinder, open_finder
from review.pose.track import MIRRORED, Landmark, LandmarkTrack, average_tracks, mirror_track, spread_over

__all__ = [
    "MIRRORED",
    "Effort",
    "Landmark",
    "LandmarkTrack",
    "MediaPipeEstimator",
    "PeopleFinder",
    "Picture",
    "PoseEstimator",
    "average_tracks",
    "mirror_track",
    "model_path",
    "open_finder",
    "spread_over",
]
