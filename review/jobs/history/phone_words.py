"""What a phone's clip beside a batch comes to, in words: what is alike, what is not, what cannot be told."""

from dataclasses import dataclass

from review.compare.one_swing import Beside
from review.jobs.history.phone_clip import PhoneClip
from review.jobs.history.speech import ENGLISH, Speech
from review.lesson import Handedness
from review.lettering import capitalise

_MOST_NAMED = 6


@dataclass(frozen=True)
class PhoneSaid:
    """``alike`` has a line for each measure that plainly differs, then one of all others.

    ``untold`` has one for each thing that the clip cannot tell.
    """

    title: str
    alike: tuple[str, ...]
    untold: tuple[str, ...]
    notes: tuple[str, ...]


def say_phone_clip(measured: PhoneClip, speech: Speech = ENGLISH) -> PhoneSaid:
    """Say it."""
    title = speech.tr(
        "{name}: the clip, {view}, beside batch {n} of {day}",
        name=measured.pupil.name,
        view=speech.sentence(measured.view.value),
        n=measured.batch.number,
        day=speech.day(measured.lesson.held_on),
    )
    alike = _list_found(measured, speech)
    return PhoneSaid(title, alike, _list_untold(measured, speech), tuple(map(speech.sentence, measured.notes)))


def _list_found(measured: PhoneClip, speech: Speech) -> tuple[str, ...]:
    """What plainly differs, the plainest first; the rest in one line."""
    hand = measured.pupil.handedness
    by_size = sorted(measured.beside, key=lambda one: -one.outside)
    lines = [_say_different(one, hand, speech) for one in by_size if not one.could_be]
    rest = "; ".join(_say_alike(one, hand, speech) for one in measured.beside if one.could_be)
    if rest:
        lines.append(speech.tr("Could be one more swing of the batch: {rest}.", rest=rest))
    return tuple(lines)


def _say_alike(one: Beside, hand: Handedness, speech: Speech) -> str:
    name, key_frame = one.key
    low, mean, high = (speech.value(name, value, hand) for value in (one.low, one.mean, one.high))
    return speech.tr(
        "{what} {clip} (the batch {mean}, one more swing {low} to {high})",
        what=speech.label(name, key_frame),
        clip=speech.measure(one.measure, hand),
        low=low,
        mean=mean,
        high=high,
    )


def _say_different(one: Beside, hand: Handedness, speech: Speech) -> str:
    name, key_frame = one.key
    low, mean, high = (speech.value(name, value, hand) for value in (one.low, one.mean, one.high))
    parts = {
        "what": speech.label(name, key_frame),
        "clip": speech.measure(one.measure, hand),
        "low": low,
        "mean": mean,
        "high": high,
    }
    change = speech.change(name, one.mean, one.measure.value, hand)
    return speech.tr(
        "Plainly different: {what}, {change}: {clip}; the batch {mean}, one more swing of it {low} to {high}.",
        change=change,
        **parts,
    )


def _list_untold(measured: PhoneClip, speech: Speech) -> tuple[str, ...]:
    lines = []
    if measured.device:
        named = ", ".join(map(speech.sentence, measured.device[:_MOST_NAMED]))
        has_more = len(measured.device) > _MOST_NAMED
        sentence = "What no camera gives: {what} and more." if has_more else "What no camera gives: {what}."
        lines.append(speech.tr(sentence, what=named))
    lines += [f"{capitalise(speech.label(*key))}: {speech.sentence(why)}." for key, why in measured.missing]
    lines.append(
        speech.tr(
            "Small differences: the phone was not set up as the lesson's camera, and the errors of both set-ups are "
            "kept in; turns count from this clip's own address, not against the target line."
        )
    )
    lines.append(speech.tr("Whether it is usual: it is one swing, and one that the pupil chose."))
    return tuple(lines)
