"""One measure over all lessons of a pupil, read from the library."""

from dataclasses import dataclass

from review.compare import MeasureKey
from review.compare.cues import CueWorked, rank_cues
from review.compare.keys import keys_in_order
from review.compare.long_run import follow_long_run
from review.compare.over_visits import Visit, gather_visits, list_given
from review.compare.samples import measures_of_shot
from review.errors import BadInputError
from review.lesson import KINDS, AimMeasure, Measure, Pupil, Source, label
from review.library import Library
from review.library.over_years import Taught

_LEAST_VISITS = 3
"""From so many on there is a long run."""


@dataclass(frozen=True)
class History:
    """One measure over a pupil's visits, oldest first.

    ``choices`` are the measures there are, those that were in an aim first, the latest aim before all. ``cues`` are
    ranked by how surely they moved the measure, the way that the visits with a change moved it, all in all
    (``wanted``: 1 up, -1 down, 0 neither). ``n_mixed`` cues came with another club, target or ball and do not count.
    ``long_run`` is what each visit began with, averaged with the later ones counting more, one a visit; empty
    below three visits.
    """

    pupil: Pupil
    key: MeasureKey
    choices: tuple[MeasureKey, ...]
    visits: tuple[Visit, ...]
    cues: tuple[CueWorked, ...]
    wanted: int
    n_mixed: int
    long_run: tuple[float, ...]

    @property
    def label(self) -> str:
        """What a coach calls the measure."""
        return label(*self.key)

    @property
    def keeps_shared_error(self) -> bool:
        """Whether the values carry an error of their camera set-up, which is another at each visit."""
        return any(one.sample.shared_sd > 0 for visit in self.visits for one in visit.batches)


class PupilYears:
    """All lessons of a pupil read once, for any measure."""

    def __init__(self, library: Library, pupil_id: str) -> None:
        self.pupil = library.pupil(pupil_id)
        self.taught: tuple[Taught, ...] = library.taught(pupil_id)
        self._library = library
        self._found = library.measure_keys(pupil_id)
        self._body: dict[str, tuple[Measure, ...]] = {}
        self._read: set[str] = set()
        self.aims = tuple(dict.fromkeys(a for held in reversed(self.taught) for a in held.lesson.aim_measures))

    @property
    def choices(self) -> tuple[MeasureKey, ...]:
        """Measures with values, those of the aims first, the latest before."""
        device = {
            (measure.name, "")
            for held in self.taught
            for swing in held.swings
            if swing.shot is not None
            for measure in measures_of_shot(swing.shot)
        }
        there = device | self._found
        aim, others = keys_in_order([there], self.aims)
        return (*(key for key in aim if key in there), *others)

    def look_at(self, key: MeasureKey, choices: tuple[MeasureKey, ...] = ()) -> History:
        """One measure over all lessons."""
        self._read_body({key[0], *(aim.name for aim in self.aims)})
        held = [(one.lesson, one.swings) for one in self.taught]
        visits = gather_visits(held, self._body, key, self.pupil.handedness)
        given, n_mixed = list_given(visits)
        moved = sum(visit.change.difference for visit in visits if visit.has_changed and visit.change is not None)
        wanted = (moved > 0) - (moved < 0)
        began = [visit.batches[0].point.mean for visit in visits if visit.batches[0].sample.values]
        is_long = len(began) == len(visits) >= _LEAST_VISITS
        long_run = tuple(follow_long_run(began, began[0], 0.0).means.tolist()) if is_long else ()
        cues = rank_cues(given, wanted)
        return History(self.pupil, key, choices or self.choices, visits, cues, wanted, n_mixed, long_run)

    def _read_body(self, names: set[str]) -> None:
        new = {name for name in names if name in KINDS and KINDS[name].source is not Source.DEVICE} - self._read
        if new:
            for swing_id, measures in self._library.measures_named(self.pupil.id, new).items():
                self._body[swing_id] = (*self._body.get(swing_id, ()), *measures)
            self._read |= new


def read_history(library: Library, pupil_id: str, measure: AimMeasure | None = None) -> History:
    """Read one measure over all lessons of a pupil: by default the first of the latest aim.

    Raises
    ------
    BadInputError
        When the pupil has no lesson with numbers, or not this measure.
    """
    years = PupilYears(library, pupil_id)
    choices = years.choices
    if not choices:
        raise BadInputError(
            f"No lesson of {years.pupil.name} has numbers yet. Add a device's table, or measure the lesson's clips."
        )
    fitting = [
        key for key in choices if measure is None or (key[0] == measure.name and measure.key_frame in ("", key[1]))
    ]
    if not fitting:
        known = ", ".join(label(*key) for key in choices)
        wanted = "" if measure is None else label(measure.name, measure.key_frame)
        raise BadInputError(f"{years.pupil.name} has no {wanted} in any lesson. There is: {known}.")
    return years.look_at(fitting[0], choices)
