"""The room that words take on the one-line diagram.

A screen keeps its room for any number, so that none moves anything; a sheet of a set, whose numbers
stay what they are, gives words the room that they need and wraps what is long.
"""

from collections.abc import Iterable
from typing import NamedTuple

from ampacre.model import records as r
from ampacre.picture.lettering import text_width_mm, wrap
from ampacre.sheets.badges import row_words
from ampacre.sheets.labelling import WORK_MARKS, Words, shown_work
from ampacre.sheets.pen import CAPITALS_MM
from ampacre.sheets.piece_labels import (
    PIECE_LINES,
    electrode_line,
    name_lines,
    piece_words,
    row_name,
)
from ampacre.sheets.run_labels import (
    BY_BUS,
    goes_beside,
    named_device,
    numbered_device,
    rating_words,
    run_words,
    spaces_words,
)
from ampacre.sheets.tree import Branch, Jump, Row
from ampacre.study.study import Study

# What is reserved for any words asks nothing of those at hand.
# ruff: noqa: ARG002

__all__ = [
    "LIST_COLUMNS",
    "MARK_WIDTH",
    "RESERVED",
    "RUN_WIDTH",
    "SERVICE_POINT",
    "Fitted",
    "Label",
    "Reserved",
    "arriving_words",
    "entry_words",
    "leaving_words",
]

RUN_WIDTH, PIECE_WIDTH, PANEL_WIDTH, MARK_WIDTH = 51.0, 45.0, 64.0, 32.0
LIST_COLUMNS = (13.0, 14.0, 41.0, 20.0)
"""Widths in a load list: spaces, device, name, load."""

SERVICE_POINT = "service point: utility above"

_LONGEST_LINE, _LONGEST_NAME, _LONGEST_ENTRY = 64.0, 72.0, 90.0
_MARK_START, _CELL_GAP = 40.0, 2.8
_ELSEWHERE = ("E-6000", "mark AA")


class Label(NamedTuple):
    """The room of the words beside a piece or a run: lines and width [mm].

    `words` are what is written; None where that is known only when it is drawn.
    """

    lines: int = 0
    width: float = RUN_WIDTH
    words: tuple[Words, ...] | None = None


class Reserved:
    """Room for any words, by the kind of piece and run alone."""

    def names(self, branch: Branch) -> tuple[str, ...]:
        """Give the lines of a piece's name."""
        return name_lines(_name(branch), shown_work(branch.piece), self._piece_width(branch))

    def piece(self, branch: Branch) -> Label:
        """Give the room below a piece's name."""
        lines = 0
        if not branch.continued:
            lines = PIECE_LINES[type(branch.piece)] + bool(branch.grounding)
        return Label(lines, self._piece_width(branch))

    def run(self, run: r.Run, *, named: bool, device: bool, service: bool) -> Label:
        """Give the room beside a run: with its name, its device, the service point."""
        return Label(named + (0 if run.length_m == 0 else 3))

    def bare(self) -> Label:
        """Give the room beside a line that has no words."""
        return Label()

    def columns(self, rows: tuple[Row, ...]) -> tuple[float, ...]:
        """Give the widths of the columns of a list."""
        return LIST_COLUMNS

    def device(self, run: r.Run) -> float:
        """Give the width of the words beside a run's device."""
        return RUN_WIDTH

    def entry(self, jump: Jump) -> float:
        """Give the width of the line beside the mark at the top of a tree."""
        return RUN_WIDTH - 3.0

    def mark(self, words: str) -> float:
        """Give the width of the lines beside a mark."""
        return MARK_WIDTH

    def title(self, structure: str) -> float:
        """Give the width of the name of a structure."""
        return PIECE_WIDTH

    def _piece_width(self, branch: Branch) -> float:
        return PANEL_WIDTH if isinstance(branch.piece, r.Panel) else PIECE_WIDTH


RESERVED = Reserved()


class Fitted(Reserved):
    """Room for the words that a study gives; each is measured once."""

    def __init__(self, study: Study) -> None:
        self.study = study
        self._pieces: dict[tuple[str, bool], tuple[tuple[str, ...], Label]] = {}
        self._runs: dict[tuple[str, bool, bool, bool], Label] = {}
        self._columns: dict[tuple[str, ...], tuple[float, ...]] = {}
        self._marks: dict[str, float] = {}

    def names(self, branch: Branch) -> tuple[str, ...]:
        """Give the lines of a piece's name."""
        return self._piece(branch)[0]

    def piece(self, branch: Branch) -> Label:
        """Give the words below a piece's name."""
        return self._piece(branch)[1]

    def _piece(self, branch: Branch) -> tuple[tuple[str, ...], Label]:
        key = branch.piece.id, branch.continued
        if key not in self._pieces:
            names = name_lines(_name(branch), shown_work(branch.piece), _LONGEST_LINE)
            label = _fitted([] if branch.continued else self._piece_words(branch))
            widths = (text_width_mm(line, CAPITALS_MM, bold=True) for line in names)
            self._pieces[key] = names, label._replace(width=max([label.width, *widths]))
        return self._pieces[key]

    def _piece_words(self, branch: Branch) -> list[Words]:
        units = self.study.settings.units
        facts = self.study.found.equipment.get(branch.piece.id)
        words = piece_words(branch.piece, facts, units)
        feed = self.study.project.runs[facts.feed] if facts and facts.feed else None
        if feed and feed.role == "service" and feed.length_m == 0:
            # beside the main, as the stretch above it has no room for words
            main = 1 if isinstance(branch.piece, r.Panel) else 0
            words[main] = words[main]._replace(text=f"{words[main].text}; {BY_BUS}")
        record = self.study.project.grounding.get(branch.grounding)
        return [*words, electrode_line(record, units)] if record else words

    def run(self, run: r.Run, *, named: bool, device: bool, service: bool) -> Label:
        """Give the words beside a run."""
        key = run.id, named, device, service
        if key not in self._runs:
            words = [Words(run.name, "name")] if named else []
            if run.length_m != 0:
                words += run_words(
                    run, self.study.found.runs.get(run.id), self.study.settings.units
                )
            label = _fitted(words)
            others = [self.device(run)] if device else []
            others += [text_width_mm(SERVICE_POINT, CAPITALS_MM)] if service else []
            self._runs[key] = label._replace(width=max([label.width, *others]))
        return self._runs[key]

    def bare(self) -> Label:
        """Give the room beside a line that has no words."""
        return Label(0, 0.0, ())

    def columns(self, rows: tuple[Row, ...]) -> tuple[float, ...]:
        """Give the widths of the columns of a list."""
        key = tuple(row.run.id for row in rows)
        if key not in self._columns:
            columns = zip(*map(self._cells, rows), strict=True)
            self._columns[key] = tuple(
                min(max(text_width_mm(text, CAPITALS_MM) for text in column), _LONGEST_NAME)
                + _CELL_GAP
                for column in columns
            )
        return self._columns[key]

    def _cells(self, row: Row) -> tuple[str, ...]:
        return (
            spaces_words(row.run),
            rating_words(row.run, self.study.found.runs.get(row.run.id)).text,
            row_name(row.piece),
            row_words(row.piece, self.study).text,
        )

    def device(self, run: r.Run) -> float:
        """Give the width of the words beside a run's device."""
        words = named_device(run, numbered_device(run, self.study.found.runs.get(run.id)))
        return min(text_width_mm(words.text, CAPITALS_MM), _LONGEST_LINE)

    def entry(self, jump: Jump) -> float:
        """Give the width of the line beside the mark at the top of a tree."""
        words = (f"{entry_words(jump)}, {where}" for where in _ELSEWHERE)
        return min(max(text_width_mm(line, CAPITALS_MM) for line in words), _LONGEST_ENTRY)

    def mark(self, words: str) -> float:
        """Give the width in which the lines beside a mark are two at most."""
        if words not in self._marks:
            width = _MARK_START
            while width < _LONGEST_LINE and len(wrap(words, width, CAPITALS_MM)) > 2:
                width += 4.0
            places = (f"at {where}" for where in _ELSEWHERE)
            lines = (*wrap(words, width, CAPITALS_MM)[:2], *places)
            needed = max(text_width_mm(line, CAPITALS_MM) for line in lines)
            self._marks[words] = min(width, needed)
        return self._marks[words]

    def title(self, structure: str) -> float:
        """Give the width of the name of a structure."""
        record = self.study.project.structures.get(structure)
        name = record.name if record else ""
        return min(text_width_mm(name, CAPITALS_MM), _LONGEST_LINE)


def entry_words(jump: Jump) -> str:
    """Say where the line of a tree comes from, with its name where that is short."""
    words = f"from {jump.source.piece.name}"
    return f"{jump.run.name} {words}" if jump.run and goes_beside(jump.run.name) else words


def leaving_words(jump: Jump) -> str:
    """Say where an interrupted line goes."""
    if jump.run is None:
        return f"{jump.source.piece.name} goes on"
    return f"to {jump.target.piece.name}{_mark(jump)}"


def arriving_words(jump: Jump) -> str:
    """Say where a second way to a piece comes from."""
    return f"from {jump.source.piece.name}{_mark(jump)}"


def _mark(jump: Jump) -> str:
    return f" {WORK_MARKS['removed']}" if jump.run and jump.run.until else ""


def _name(branch: Branch) -> str:
    return f"{branch.piece.name}, continued" if branch.continued else branch.piece.name


def _fitted(words: Iterable[Words]) -> Label:
    """Wrap what is long, leave out what is empty, and measure."""
    lines = tuple(
        Words(line, each.field)
        for each in words
        for line in wrap(each.text, _LONGEST_LINE, CAPITALS_MM)
    )
    width = max((text_width_mm(line.text, CAPITALS_MM) for line in lines), default=0.0)
    return Label(len(lines), width, lines)
