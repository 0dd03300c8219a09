"""Which clip is which shot: rows of the device's table paired with clips under an unknown clock offset."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from scipy.optimize import linear_sum_assignment
from scipy.stats import binom

from review.lesson import FloatArray
from review.sync.moments import Group, RowMoment

SURE = 0.9
"""A pairing less probable than this is a question for the coach."""
_JITTER_S = 0.15
_UNPAIRED = 0.05
_SILENT_BUT_STRUCK = 0.02
_FALSE_OFFSET = 0.01
_ENOUGH_TO_REFUSE = 4
_TRIED_CLOSELY = 25


@dataclass(frozen=True)
class Pairing:
    """Clips of one swing and the row that belongs to them."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    why: str


@dataclass(frozen=True)
class Question:
    """A pairing that the coach has to decide; ``probability`` is how likely it is."""

    clip_ids: tuple[str, ...]
    row_id: str
    probability: float
    text: str


@dataclass(frozen=True)
class Matching:
    """Pairs, questions, and what stayed alone with the reason.

    ``offset_s`` is camera minus device with its spread (half the range still possible); ``refused`` says why clips and
    table do not belong together, '' when they do.
    """

    pairs: tuple[Pairing, ...] = ()
    questions: tuple[Question, ...] = ()
    unmatched_groups: tuple[tuple[Group, str], ...] = ()
    unmatched_rows: tuple[tuple[RowMoment, str], ...] = ()
    offset_s: float | None = None
    offset_spread_s: float | None = None
    refused: str = ""


def match_by_clock(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Pair clips and rows by their clocks.

    Parameters
    ----------
    groups : clips of one swing each, see ``group_clips``.
    rows : rows of the table.
    fixed : the coach's own pairings, clip id to row id (None = no row); they are kept and help to find the offset.

    Notes
    -----
    The offset that explains most strikes within the rounding of both clocks is found among all differences, and is
    trusted only if so many agreements by chance are improbable (1 in 100; binomial over all offsets tried). Then clips
    and rows are assigned one to one (Hungarian method) by the likelihood of their residual, against staying alone.
    """
    fixed = fixed or {}
    decided = _decide(groups, rows, fixed)
    open_groups = [g for g in groups if not any(m.clip_id in fixed for m in g)]
    taken = {pair.row_id for pair in decided}
    open_rows = [r for r in rows if r.row_id not in taken]
    if not open_groups or not open_rows:
        return _alone(decided, groups, rows, _offset_of(decided, groups, rows))

    anchors = _offset_of(decided, groups, rows)
    offset, n_agree, doubt = (anchors, 0, 0.0) if anchors is not None else _find_offset(open_groups, open_rows)
    if offset is None:
        return _alone(decided, groups, rows, None)
    if doubt > _FALSE_OFFSET:
        return _not_trusted(decided, groups, rows, open_groups, open_rows, offset, n_agree)

    offset = _refine(open_groups, open_rows, offset)
    pairs, questions = _assign(open_groups, open_rows, offset)
    done = _alone((*decided, *pairs), groups, rows, offset, questions)
    residuals = _residuals(done.pairs, groups, rows, offset)
    spread = float(np.median(np.abs(residuals)) / np.sqrt(len(residuals))) if len(residuals) else None
    return Matching(done.pairs, questions, done.unmatched_groups, done.unmatched_rows, offset, spread)


def match_by_order(
    groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None] | None = None
) -> Matching:
    """Offer pairs in order where a side has no times: every one is a question, none is made silently."""
    decided = _decide(groups, rows, fixed or {})
    taken = {pair.row_id for pair in decided}
    known = {clip_id for pair in decided for clip_id in pair.clip_ids}
    open_groups = [g for g in groups if not any(m.clip_id in known or m.clip_id in (fixed or {}) for m in g)]
    open_rows = sorted((r for r in rows if r.row_id not in taken), key=lambda r: r.order)
    same = len(open_groups) == len(open_rows)
    probability = 0.8 if same else 0.4
    counted = (
        "" if same else f" There are {len(open_groups)} swings but {len(open_rows)} rows, so later ones may be shifted."
    )
    questions = tuple(
        Question(
            tuple(m.clip_id for m in group),
            row.row_id,
            probability,
            f"Without times on both sides only the order speaks for it.{counted if i == 1 else ''}",
        )
        for i, (group, row) in enumerate(zip(open_groups, open_rows, strict=False), start=1)
    )
    return _alone(decided, groups, rows, None, questions)


def _decide(groups: Sequence[Group], rows: Sequence[RowMoment], fixed: Mapping[str, str | None]) -> tuple[Pairing, ...]:
    known = {row.row_id for row in rows}
    pairs = []
    for group in groups:
        row_id = next((fixed[m.clip_id] for m in group if fixed.get(m.clip_id) is not None), None)
        if row_id is not None and row_id in known:
            pairs.append(Pairing(tuple(m.clip_id for m in group), row_id, 1.0, "paired by you."))
    return tuple(pairs)


def _clock(group: Group) -> tuple[float, float, bool] | None:
    """Strike on the camera's clock, its slack (it may be that much later) and whether it was heard."""
    heard = [(m.strike_clock_s, m.resolution_s) for m in group if m.strike_clock_s is not None]
    if heard:
        # every camera rounds down, so the latest is nearest to the truth
        at, slack = max(heard)
        return at, slack, True
    spans = [
        (m.start_clock_s, m.end_clock_s, m.resolution_s)
        for m in group
        if m.start_clock_s is not None and m.end_clock_s is not None
    ]
    if spans:
        start, end, slack = spans[0]
        return start, end - start + slack, False
    return None


def _find_offset(groups: Sequence[Group], rows: Sequence[RowMoment]) -> tuple[float | None, int, float]:
    """Best offset, how many swings agree with it, and how likely so many agree by chance."""
    clocks = [c for c in (_clock(g) for g in groups) if c is not None]
    heard = [c for c in clocks if c[2]] or clocks
    times = np.array([r.clock_s for r in rows if r.clock_s is not None])
    if not heard or not len(times):
        return None, 0, 1.0
    at = np.array([c[0] for c in heard])
    slack = max(max(c[1] for c in heard), max(r.resolution_s for r in rows))
    differences = (at[:, None] - times[None, :]).ravel()
    candidates = np.unique(np.round(differences / (slack / 2.0)) * (slack / 2.0))
    counts = np.array([_count_agreeing(at, times, c, slack) for c in candidates])
    # among the offsets with about the most agreements the closest fit wins
    best, most, best_misfit = float(candidates[0]), 0, np.inf
    for i in np.argsort(-counts)[:_TRIED_CLOSELY]:
        centre = _refine(groups, rows, float(candidates[i]))
        n = _count_agreeing(at, times, centre, slack)
        gaps = np.abs(at[:, None] - times[None, :] - centre).min(axis=1)
        misfit = float(np.mean(gaps[gaps <= slack])) if n else np.inf
        if n > most or (n == most and misfit < best_misfit):
            best, most, best_misfit = centre, n, misfit
    span = float(times.max() - times.min()) + 2.0 * slack
    chance = min(1.0, 2.0 * slack * len(times) / span)
    doubt = float(min(1.0, len(candidates) * binom.sf(most - 2, max(len(at) - 1, 1), chance)))
    return best, most, doubt


def _count_agreeing(at: FloatArray, times: FloatArray, offset: float, slack: float) -> int:
    """How many clips have a row of their own within the slack."""
    near = np.abs(at[:, None] - times[None, :] - offset) <= slack
    return int(min(near.any(axis=1).sum(), near.any(axis=0).sum()))


def _refine(groups: Sequence[Group], rows: Sequence[RowMoment], offset: float) -> float:
    """Move the offset to the middle of what the agreeing pairs leave possible."""
    for _ in range(3):
        off = []
        for group in groups:
            clock = _clock(group)
            if clock is None or not clock[2]:
                continue
            gaps = [
                (clock[0] + clock[1] / 2) - (r.clock_s + r.resolution_s / 2) - offset
                for r in rows
                if r.clock_s is not None
            ]
            nearest = min(gaps, key=abs, default=None)
            if nearest is not None and abs(nearest) <= 1.5 * clock[1]:
                off.append(nearest)
        if not off:
            break
        offset += float(np.median(off))
    return offset


def _likelihood(clock: tuple[float, float, bool], row: RowMoment, offset: float) -> float:
    """Density (per second) of a row's time for a clip: both were rounded down somewhere in their slack."""
    if row.clock_s is None:
        return 0.0
    at, slack, _ = clock
    # clip's true time lies in [at, at + slack], row's in [clock, clock + resolution]
    low = row.clock_s + offset - at - slack
    high = row.clock_s + row.resolution_s + offset - at
    overlap = min(at + slack, row.clock_s + row.resolution_s + offset + _JITTER_S) - max(
        at, row.clock_s + offset - _JITTER_S
    )
    if high < -_JITTER_S or low > _JITTER_S or overlap <= 0:
        return 0.0
    return float(overlap / (slack * (row.resolution_s + 2 * _JITTER_S)))


def _assign(
    groups: Sequence[Group], rows: Sequence[RowMoment], offset: float
) -> tuple[tuple[Pairing, ...], tuple[Question, ...]]:
    clocks = [_clock(group) for group in groups]
    is_sound = any(clock is not None and clock[2] for clock in clocks)
    table = np.zeros((len(groups), len(rows)))
    for i, clock in enumerate(clocks):
        if clock is None:
            continue
        prior = 1.0 if clock[2] or not is_sound else _SILENT_BUT_STRUCK
        for j, row in enumerate(rows):
            table[i, j] = prior * _likelihood(clock, row, offset)
    alone = _UNPAIRED * _row_rate(rows)
    n, m = table.shape
    cost = np.zeros((n + m, n + m))
    cost[:n, :m] = -np.log(table + 1e-300)
    cost[:n, m:] = -np.log(alone)
    cost[n:, :m] = 0.0
    first, second = linear_sum_assignment(cost)
    pairs, questions = [], []
    for i, j in zip(first.tolist(), second.tolist(), strict=True):
        if i >= n or j >= m or table[i, j] <= 0:
            continue
        rivals = table[i].sum() - table[i, j] + table[:, j].sum() - table[i, j]
        probability = float(table[i, j] / (table[i, j] + rivals + alone))
        clock, row = clocks[i], rows[j]
        if clock is None or row.clock_s is None:
            continue
        clip_ids = tuple(moment.clip_id for moment in groups[i])
        gap = clock[0] + clock[1] / 2 - row.clock_s - row.resolution_s / 2 - offset
        heard = "the strike heard" if clock[2] else "the clip (no strike heard)"
        text = f"{heard} and the row's time agree within {abs(gap):.1f} s once the clocks are set right"
        if probability >= SURE:
            pairs.append(Pairing(clip_ids, row.row_id, probability, text + "."))
        else:
            questions.append(
                Question(clip_ids, row.row_id, probability, f"{_capital(text)}, but another is nearly as likely.")
            )
    return tuple(pairs), tuple(questions)


def _capital(text: str) -> str:
    return text[:1].upper() + text[1:]


def _row_rate(rows: Sequence[RowMoment]) -> float:
    times = [r.clock_s for r in rows if r.clock_s is not None]
    span = max(times) - min(times) if len(times) > 1 else 60.0
    return len(rows) / max(span, 10.0)


def _offset_of(pairs: Sequence[Pairing], groups: Sequence[Group], rows: Sequence[RowMoment]) -> float | None:
    off = _residuals(pairs, groups, rows, 0.0)
    return float(np.median(off)) if len(off) else None


def _residuals(
    pairs: Sequence[Pairing], groups: Sequence[Group], rows: Sequence[RowMoment], offset: float
) -> FloatArray:
    group_of = {moment.clip_id: group for group in groups for moment in group}
    row_of = {row.row_id: row for row in rows}
    off = []
    for pair in pairs:
        clock, row = _clock(group_of[pair.clip_ids[0]]), row_of[pair.row_id]
        if clock is not None and clock[2] and row.clock_s is not None:
            off.append(clock[0] + clock[1] / 2 - row.clock_s - row.resolution_s / 2 - offset)
    return np.array(off)


def _alone(
    pairs: Sequence[Pairing],
    groups: Sequence[Group],
    rows: Sequence[RowMoment],
    offset: float | None,
    questions: tuple[Question, ...] = (),
) -> Matching:
    """List what has no partner, with the reason."""
    asked_or_paired: list[Pairing | Question] = [*pairs, *questions]
    busy = {clip_id for item in asked_or_paired for clip_id in item.clip_ids}
    taken = {item.row_id for item in asked_or_paired}
    is_sound = any(m.heard for g in groups for m in g)
    alone_groups = tuple((g, _why_no_row(g, is_sound, bool(rows))) for g in groups if g[0].clip_id not in busy)
    alone_rows = tuple((r, "no clip was filmed at its time.") for r in rows if r.row_id not in taken)
    return Matching(tuple(pairs), questions, alone_groups, alone_rows, offset)


def _why_no_row(group: Group, is_sound: bool, has_rows: bool) -> str:
    if not has_rows:
        return "there is no shot table."
    if all(moment.start_clock_s is None for moment in group):
        return "the clip does not say when it was filmed."
    if is_sound and not any(moment.heard for moment in group):
        return "no strike is heard and no row lies at its time: a practice swing."
    return "a strike is heard, but the table has no row at its time."


def _not_trusted(
    decided: tuple[Pairing, ...],
    groups: Sequence[Group],
    rows: Sequence[RowMoment],
    open_groups: Sequence[Group],
    open_rows: Sequence[RowMoment],
    offset: float,
    n_agree: int,
) -> Matching:
    """Too few agreements: a foreign table where there is enough to tell, else questions."""
    n_clips = sum(_clock(g) is not None for g in open_groups)
    n_rows = sum(r.clock_s is not None for r in open_rows)
    if min(n_clips, n_rows) >= _ENOUGH_TO_REFUSE:
        found = _alone(decided, groups, rows, None)
        return Matching(
            found.pairs,
            (),
            found.unmatched_groups,
            found.unmatched_rows,
            refused=f"whatever the clocks' difference, at most {n_agree} of {n_clips} swings fall on one of {n_rows} "
            "rows, no more than by chance.",
        )
    pairs, questions = _assign(open_groups, open_rows, _refine(open_groups, open_rows, offset))
    asked = [
        *questions,
        *(
            Question(
                p.clip_ids,
                p.row_id,
                0.5,
                f"There are too few swings to be sure of the clocks, but {p.why[:-1]}.",
            )
            for p in pairs
        ),
    ]
    return _alone(decided, groups, rows, None, tuple(asked))
