"""Plain types of the trade: pupil, lesson, batch, swing, shot, measure. Imports nothing of ours."""

from review.lesson.cameras import SoundOffset
from review.lesson.drawings import Drawing, DrawingKind
from review.lesson.lessons import AimMeasure, Batch, Lesson
from review.lesson.live import Arrival, LiveLesson, Said, Watched
from review.lesson.measures import (
    KINDS,
    KNOWN_DOWN_TO,
    Z90,
    Bound,
    Measure,
    MeasureKind,
    Source,
    is_told_first,
    label,
    split_label,
)
from review.lesson.people import Consent, Handedness, Pupil, Purpose
from review.lesson.swings import (
    Clip,
    FloatArray,
    KeyFrame,
    KeyFrameName,
    Shot,
    Swing,
    SwingKind,
    Trace,
    View,
)
from review.lesson.talk_overs import Moment, TalkOver
from review.lesson.voices import Voice, VoiceOf

__all__ = [
    "KINDS",
    "KNOWN_DOWN_TO",
    "Z90",
    "AimMeasure",
    "Arrival",
    "Batch",
    "Bound",
    "Clip",
    "Consent",
    "Drawing",
    "DrawingKind",
    "FloatArray",
    "Handedness",
    "KeyFrame",
    "KeyFrameName",
    "Lesson",
    "LiveLesson",
    "Measure",
    "MeasureKind",
    "Moment",
    "Pupil",
    "Purpose",
    "Said",
    "Shot",
    "SoundOffset",
    "Source",
    "Swing",
    "SwingKind",
    "TalkOver",
    "Trace",
    "View",
    "Voice",
    "VoiceOf",
    "Watched",
    "is_told_first",
    "label",
    "split_label",
]
