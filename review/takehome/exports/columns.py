"""The columns of the long table, one row a number of a swing, and what each of them means."""

from dataclasses import astuple, dataclass

Cell = str | float | None


@dataclass(frozen=True)
class Column:
    """A column: its name, what it holds ('text', 'whole' or 'number'), its unit and what it means."""

    name: str
    holds: str
    unit: str
    definition: str


_SAME = "as the column unit says"
COLUMNS = (
    Column("lesson", "text", "", "the lesson, by its id"),
    Column("pupil", "text", "", "the pupil's name; empty where it is left out (under age)"),
    Column("held_on", "text", "", "day of the lesson, year-month-day"),
    Column("swing", "whole", "", "number of the swing along the lesson, from 1"),
    Column("batch", "whole", "", "number of its batch, from 1; empty: in none"),
    Column("kind", "text", "", "what the movement was: shot, practice, drill, coach's demonstration"),
    Column("left_out", "text", "", "yes: the coach left the swing out of the comparison"),
    Column("table_row", "whole", "", "row of the device's table, from 1; empty: the device has none"),
    Column("measure", "text", "", "which number, by name; see the rows of the dictionary for each"),
    Column("key_frame", "text", "", "at which instant of the swing; empty: the number belongs to the whole swing"),
    Column("value", "number", _SAME, "the number; empty: not measured, see why_missing"),
    Column("unit", "text", "", "unit of the number"),
    Column("low", "number", _SAME, "lower end of the 90 % interval; empty: the device tells none"),
    Column("high", "number", _SAME, "upper end of the 90 % interval"),
    Column("own_sd", "number", _SAME, "error that differs from swing to swing, one standard deviation"),
    Column("shared_sd", "number", _SAME, "error shared by all swings of one setup, one standard deviation"),
    Column("setup", "whole", "", "numbers with the same one share an error, which a difference between them loses"),
    Column("bound", "text", "", "at least, at most: the size is the least or the most that can be said"),
    Column("why_missing", "text", "", "why there is no number"),
    Column("source", "text", "", "where it comes from: device, pose (video), pressure, coach"),
    Column("method", "text", "", "how it was made, with the version; empty: by the device"),
)


@dataclass(frozen=True)
class NumberRow:
    """One number of one swing; the fields are those of ``COLUMNS``, in their order; None = empty."""

    lesson: str
    pupil: str
    held_on: str
    swing: int
    batch: int | None
    kind: str
    left_out: str
    table_row: int | None
    measure: str
    key_frame: str
    value: float | None
    unit: str
    low: float | None
    high: float | None
    own_sd: float | None
    shared_sd: float | None
    setup: int | None
    bound: str
    why_missing: str
    source: str
    method: str

    def cells(self) -> tuple[Cell, ...]:
        """The cells of the row."""
        return astuple(self)
