"""The lines of the page that looks at a table, without Qt: columns, clubs, how far readings err."""

from dataclasses import dataclass
from enum import Enum, auto

from review.app.language import say_count, say_number, tr
from review.app.number_words import say_label
from review.app.sentences import say_in_words, say_sentences
from review.jobs.tables.looking import LookedAt
from review.lesson import KINDS
from review.lettering import capitalise
from review.shots import Certainty
from review.shots.proposal import ColumnProposal

MARKS = {Certainty.SURE: "✓", Certainty.LIKELY: "≈", Certainty.ASKED: "?", Certainty.LEFT_OUT: "–"}
"""How sure a column is, as a sign; the word stands beneath."""


class LineKind(Enum):
    """What a line is about."""

    DOUBT = auto()
    COLUMN = auto()
    CLUB = auto()
    ERROR = auto()


@dataclass(frozen=True)
class Line:
    """One line: what it is about (``key``: header, club as written, measure, or the doubt), its words, and more."""

    kind: LineKind
    key: str
    first: str
    more: str


def make_lines(looked: LookedAt) -> tuple[Line, ...]:
    """Lines of a table: doubts about several columns; columns, those asked about first; clubs; errors of readings."""
    order = [Certainty.ASKED, Certainty.LIKELY, Certainty.SURE, Certainty.LEFT_OUT]
    columns = sorted(looked.proposal.columns, key=lambda column: order.index(column.certainty))
    flipped = looked.proposal.mapping.flipped
    lines = [_doubt_line(doubt) for doubt in looked.proposal.doubts]
    lines += [_column_line(column, column.header in flipped) for column in columns]
    for club, n, yours in looked.proposal.clubs:
        said = yours or tr("as written")
        lines.append(Line(LineKind.CLUB, club, f"{tr('Club')} {club} → {said}", say_count(n, "1 row", "{n} rows")))
    known = looked.proposal.mapping.repeatability
    for column in looked.proposal.columns:
        if column.meaning in KINDS and column.certainty in (Certainty.SURE, Certainty.LIKELY):
            kind = KINDS[column.meaning]
            said = f"± {say_number(known[column.meaning])}{kind.unit}" if column.meaning in known else tr("not known")
            lines.append(
                Line(
                    LineKind.ERROR,
                    column.meaning,
                    tr(
                        "One reading of {measure} errs by: {said}",
                        measure=say_label(column.meaning),
                        said=said,
                    ),
                    tr("one standard deviation, as the maker states it or you tested it; verdicts need it"),
                )
            )
    return tuple(lines)


def say_meaning(name: str) -> str:
    """A measure or a role in words."""
    return say_label(name) if name in KINDS else tr(name)


def say_choice(choice: str) -> str:
    """What a column that is asked about may be, in words."""
    name, _, unit = choice.rpartition(" ")
    return tr("{measure}, in {unit}", measure=say_meaning(name), unit=unit)


def say_state(looked: LookedAt) -> str:
    """How much of the table can be read as it stands."""
    asked = len(looked.proposal.questions)
    if asked:
        return say_count(asked, "1 question first: it is marked ?", "{n} questions first: they are marked ?")
    if looked.table is None:
        return say_sentences(looked.refusal)
    return tr("{rows} can be read", rows=say_count(len(looked.table.shots), "1 shot", "{n} shots"))


def _doubt_line(doubt: str) -> Line:
    said = f"{MARKS[Certainty.ASKED]}  {tr('Do these columns go together?')}"
    return Line(LineKind.DOUBT, doubt, said, capitalise(say_sentences(doubt)))


def _column_line(column: ColumnProposal, is_flipped: bool) -> Line:
    is_left_out = column.meaning in ("", "ignore") or column.certainty is Certainty.LEFT_OUT
    if column.certainty is Certainty.ASKED:
        said = tr("which unit?")
    elif is_left_out:
        said = tr("not read")
    else:
        said = say_meaning(column.meaning)
        if column.unit and column.meaning in KINDS:
            said = tr("{measure}, in {unit}", measure=said, unit=column.unit)
        if is_flipped:
            said = tr("{measure}, sign turned round", measure=said)
    samples = [say_in_words(said) if column.meaning in KINDS else said for said in column.samples]
    more = [tr(column.certainty.value), say_sentences(column.reason), ", ".join(samples)]
    if is_left_out and column.certainty is not Certainty.ASKED:
        more = more[1:]
    words = capitalise(" · ".join(text for text in more if text))
    mark = MARKS[Certainty.LEFT_OUT if column.meaning == "ignore" else column.certainty]
    return Line(LineKind.COLUMN, column.header, f"{mark}  {column.header} → {said}", words)
