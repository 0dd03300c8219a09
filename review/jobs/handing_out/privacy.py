"""What consent and privacy leave of a take-home: who gets it, whose face is covered, which numbers are in it."""

from dataclasses import dataclass, replace
from datetime import date

import numpy as np

from review.body import cover_head
from review.errors import BadInputError
from review.jobs.comparing import LessonComparison
from review.jobs.handing_out.others import find_others
from review.lesson import KINDS, Clip, Measure, Pupil, Purpose, Source
from review.media import VideoSource
from review.pose import LandmarkTrack
from review.takehome import PictureCover

_ROOM = 0.8
"""Shown around the player where the rest is left away: the club's reach, in parts of the body's height."""


NOBODY_NAMED = "nobody named"
"""Who a hand-out is noted for where the coach does not say."""

NO_BODY = "Numbers and lines of the body are left out: consent to measure is not on record."
NO_BODY_FOR_PUPIL = "Numbers and lines of the body: consent to measure is not given."


@dataclass(frozen=True)
class Privacy:
    """How a take-home is kept private.

    ``cover_faces``: faces are replaced, those of others too where they are found. ``only_player``: what lies around the
    player and the club's reach is too. ``for_whom``: who receives it. ``with_body``: consent covers numbers and lines
    of the body.
    """

    pupil: Pupil
    cover_faces: bool
    only_player: bool
    for_whom: str
    with_body: bool


def settle_privacy(
    pupil: Pupil, on: date, cover_faces: bool = False, only_player: bool = False, for_whom: str = ""
) -> Privacy:
    """Say what holds for a take-home of this pupil on that day; a minor's is covered and goes to the guardian.

    Raises
    ------
    BadInputError
        When consent to share is missing.
    """
    if not pupil.allows(Purpose.SHARE, on):
        who = f"the guardian ({pupil.guardian or 'not named yet'})" if pupil.is_minor else pupil.name
        consent = pupil.consent
        if consent is not None and not consent.purposes:  # an answer that was given is not asked for again
            raise BadInputError(
                f"Nothing is handed out: {consent.given_by} was asked on {consent.given_on} and refused. "
                "Another answer is recorded when it is given: "
                f"lesson-review add --pupil {pupil.name!r} --consent-by NAME --consent-for keep,show,share,measure."
            )
        raise BadInputError(
            f"Nothing is handed out without consent to share: ask {who}, then record it: "
            f"lesson-review add --pupil {pupil.name!r} --consent-by NAME --consent-for keep,show,share,measure."
        )
    usual = pupil.guardian or "the guardian" if pupil.is_minor else pupil.name
    return Privacy(
        pupil,
        cover_faces or pupil.is_minor,
        only_player or pupil.is_minor,
        for_whom.strip() or usual,
        pupil.allows(Purpose.MEASURE, on),
    )


def leave_out_body(compared: LessonComparison) -> LessonComparison:
    """Return a comparison without the numbers of the body: consent to be measured ended or was withdrawn."""

    def is_allowed(name: str) -> bool:
        return KINDS[name].source is not Source.POSE

    def keep(measures: tuple[Measure, ...]) -> tuple[Measure, ...]:
        return tuple(measure for measure in measures if is_allowed(measure.name))

    return replace(
        compared,
        measures={swing_id: keep(measures) for swing_id, measures in compared.measures.items()},
        comparisons=tuple(c for c in compared.comparisons if is_allowed(c.name)),
    )


class NoCoverError(Exception):
    """A clip cannot be covered, and so is not handed out; the message says why and what to do."""


def make_cover(privacy: Privacy, clip: Clip, source: VideoSource, track: LandmarkTrack | None) -> PictureCover | None:
    """Return what is replaced in the frames of a clip, None where nothing is.

    Parameters
    ----------
    source : where its pictures are, to look for others than the player.
    track : the clip's landmarks on each of its frames, None when it was not measured.

    Raises
    ------
    NoCoverError
        When it is to be covered and where the head is cannot be told.
    """
    if not (privacy.cover_faces or privacy.only_player):
        return None
    if not privacy.with_body:
        raise NoCoverError("the face is covered where measuring finds it, and consent to measure is not on record")
    if track is None:
        raise NoCoverError("the face is covered where measuring finds it, so measure the lesson first")
    try:
        heads = cover_head(track, clip.time_scale, privacy.pupil.stature_m, privacy.pupil.is_minor)
    except ValueError as error:
        raise NoCoverError("the player was not found, so the face cannot be covered") from error
    if privacy.cover_faces:
        heads = np.concatenate([heads, find_others(source, track, clip.time_scale)], axis=1)
    else:
        heads = heads[:, :0]
    kept = _find_surroundings(track) if privacy.only_player else None
    return PictureCover(heads, track.width_px, track.height_px, kept)


def _find_surroundings(track: LandmarkTrack) -> tuple[float, float, float, float]:
    """Left, top, right and bottom of what player and club can reach in the whole clip."""
    seen = track.image_px[track.is_seen][..., :2]
    # single wild frames do not count
    low, high = np.percentile(seen.min(axis=1), 2, axis=0), np.percentile(seen.max(axis=1), 98, axis=0)
    room = _ROOM * (high[1] - low[1])
    left, top = np.maximum(low - room, 0.0)
    return float(left), float(top), float(high[0] + room), float(high[1] + 0.4 * room)
