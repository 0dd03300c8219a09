"""What a coach reads of a pupil's years, visit by visit."""

import math
from collections.abc import Iterator
from dataclasses import dataclass

from review.compare.cues import CueWorked
from review.compare.over_visits import BatchOfVisit, Visit
from review.compare.verdict import Verdict
from review.compare.visits import Held, Kept
from review.jobs.history.reading import History
from review.jobs.history.speech import ENGLISH, Speech
from review.lettering import capitalise

MOST_CUES = 3


@dataclass(frozen=True)
class VisitSaid:
    """One visit: its day and aim, what it came to, and what of an earlier change was left when it began."""

    day: str
    aim: str
    lines: tuple[str, ...]


@dataclass(frozen=True)
class HistorySaid:
    """A history in words: ``summary`` first, then the visits, the latest first; ``notes`` say what to bear in mind."""

    title: str
    summary: tuple[str, ...]
    visits: tuple[VisitSaid, ...]
    cues: tuple[str, ...]
    notes: tuple[str, ...]


def say_history(history: History, speech: Speech = ENGLISH) -> HistorySaid:
    """Say a history."""
    said = _Said(history, speech)
    visits = tuple(said.visit(visit) for visit in reversed(history.visits))
    title = f"{history.pupil.name}: {speech.label(*history.key)}"
    cues = tuple(say_cue(history, cue, speech) for cue in history.cues[:MOST_CUES])
    return HistorySaid(title, tuple(said.summary()), visits, cues, tuple(said.notes()))


def say_cue(history: History, cue: CueWorked, speech: Speech = ENGLISH) -> str:
    """Say what a cue came to: words, change with its interval, how often."""
    tr, name, hand = speech.tr, history.key[0], history.pupil.handedness
    usual = _mean_before(history)
    change = speech.change_alone(name, usual, usual + cue.change, hand)
    interval = speech.interval(name, usual, usual + cue.change, cue.low, cue.high, hand)
    felt = _say_felt(cue, speech)
    times = tr("given once") if cue.n_given == 1 else tr("that way {n} of {of} times", n=cue.n_with, of=cue.n_given)
    sure = "" if cue.low * cue.high > 0 else tr("; it may be no change at all")
    told = tr("“{feel}”", feel=cue.cue)
    return f"{told}{felt}: {change} ({interval}), {times}{sure}"


def _say_felt(cue: CueWorked, speech: Speech) -> str:
    if not cue.feels or cue.feels[0] == cue.cue:
        return ""
    if cue.n_felt == cue.n_given:
        return speech.tr(", felt “{feel}”", feel=cue.feels[0])
    return speech.tr(", felt “{feel}” ({n} of {of} times)", feel=cue.feels[0], n=cue.n_felt, of=cue.n_given)


def say_kept(history: History, visit: Visit, speech: Speech = ENGLISH) -> str:
    """Say what was left of the latest change before a visit when it began; '' where there was none."""
    kept, tr = visit.kept, speech.tr
    if kept is None or visit.kept_of is None:
        return ""
    day = speech.day(visit.kept_of.held_on)
    when = tr("At the start of the last visit") if visit is history.visits[-1] else tr("At the start")
    if kept.outcome is Held.HELD:
        return tr("{when} what moved on {day} still held.", when=when, day=day)
    if kept.outcome is Held.CAME_BACK:
        old = next(v for v in history.visits if v.lesson.id == visit.kept_of.id).batches[0].point.mean
        value = speech.value(history.key[0], old, history.pupil.handedness)
        return tr(
            "{when} the old value was back: {value}, as before the change of {day}.", when=when, value=value, day=day
        )
    if kept.outcome is Held.PARTLY:
        part = _say_share(kept, speech)
        return tr("{when} what moved on {day} held in part{part}.", when=when, day=day, part=part)
    why = speech.sentence(kept.why)
    return tr("What moved on {day}: can't tell whether it held: {why}.", day=day, why=why)


def _say_share(kept: Kept, speech: Speech) -> str:
    if math.isnan(kept.share):
        return ""
    share, low, high = (round(100 * value) for value in (kept.share, kept.share_low, kept.share_high))
    return speech.tr(": about {share} % of it was left ({low} to {high})", share=share, low=low, high=high)


def _mean_before(history: History) -> float:
    """What the visits began with, all in all: the side from which a change is told."""
    began = [visit.batches[0].point.mean for visit in history.visits if visit.batches[0].sample.values]
    return sum(began) / len(began) if began else 0.0


class _Said:
    def __init__(self, history: History, speech: Speech) -> None:
        self._history, self._speech = history, speech
        self._name, self._hand = history.key[0], history.pupil.handedness

    def summary(self) -> Iterator[str]:
        history, tr = self._history, self._speech.tr
        if not history.visits:
            return
        latest = history.visits[-1]
        yield self._ends(latest, tr("Last visit, {day}", day=self._speech.day(latest.lesson.held_on)))
        if kept := say_kept(history, latest, self._speech):
            yield kept
        if history.long_run:
            yield tr(
                "In the long run (what visits began with, the later ones counting more): {first}, now {last}.",
                first=self._value(history.long_run[0]),
                last=self._value(history.long_run[-1]),
            )

    def visit(self, visit: Visit) -> VisitSaid:
        day, lines = self._speech.day(visit.lesson.held_on), [self._ends(visit, "")]
        lines += [
            line
            for before, after in zip(visit.batches, visit.batches[1:], strict=False)
            if (line := self._joint(before, after))
        ]
        if kept := say_kept(self._history, visit, self._speech):
            lines.append(kept)
        if since := self._since(visit):
            lines.append(since)
        return VisitSaid(day, visit.lesson.aim, tuple(lines))

    def notes(self) -> Iterator[str]:
        history, tr = self._history, self._speech.tr
        if history.keeps_shared_error and len(history.visits) > 1:
            yield tr(
                "A number of the body: the camera was not set up the same way at each visit. That error is kept in "
                "between visits, so most small changes cannot be told; inside a visit it falls out."
            )
        seen = dict.fromkeys(w.said for visit in history.visits for w in visit.warnings if not w.what)
        for text in seen:
            yield capitalise(self._speech.sentence(text)) + "."
        if history.n_mixed:
            yield tr("Cues that came with another club, target or ball do not count: {n}.", n=history.n_mixed)
        if history.cues:
            yield tr("Cues are ranked by how surely the measure moved with them; that it moved is not why it moved.")

    def _ends(self, visit: Visit, head: str) -> str:
        tr, first, last = self._speech.tr, visit.batches[0].point.mean, visit.batches[-1].point.mean
        head = f"{head}: " if head else ""
        came = tr("came with {value}", value=self._value(first))
        if visit.change is None:
            return f"{head}{came}." if head else capitalise(f"{came}.")
        left = tr("left with {value}", value=self._value(last))
        verdict = visit.change.verdict
        said = f"{self._speech.sentence(verdict)}, {self._speech.change(self._name, first, last, self._hand)}"
        if verdict is Verdict.NOT_JUDGED:
            said = f"{self._speech.sentence(verdict)}: {self._speech.sentence(visit.change.why)}"
        text = f"{head}{came}, {left} ({said})."
        return text if head else capitalise(text)

    def _joint(self, before: BatchOfVisit, after: BatchOfVisit) -> str:
        tr, batch = self._speech.tr, after.batch
        told = [tr("told “{cue}”", cue=batch.cue)] if batch.cue else []
        told += [tr("felt “{feel}”", feel=batch.feel)] if batch.feel else []
        if not told:
            return ""
        change = tr("not measured")
        if before.sample.values and after.sample.values:
            change = self._speech.change(self._name, before.point.mean, after.point.mean, self._hand)
        return tr("Batch {n}: {told}: {change}.", n=batch.number, told=", ".join(told), change=change)

    def _since(self, visit: Visit) -> str:
        since, tr = visit.since, self._speech.tr
        if since is None or visit.since_of is None or math.isnan(since.since):
            return ""
        last, now = visit.batches[0].point.mean - since.since, visit.batches[0].point.mean
        change = self._speech.change(self._name, last, now, self._hand)
        interval = self._speech.interval(self._name, last, now, since.since_low, since.since_high, self._hand)
        within = f" ({interval})" if interval else ""
        differs = [self._speech.sentence(w.said) for w in visit.warnings if w.what]
        but = tr("; but {what}", what="; ".join(differs)) if differs else ""
        day = self._speech.day(visit.since_of.held_on)
        return tr(
            "Since the last batch of {day}: {change}{within}{but}.", day=day, change=change, within=within, but=but
        )

    def _value(self, value: float) -> str:
        return self._speech.value(self._name, value, self._hand)
