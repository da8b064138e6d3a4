"""The sheet `readings.csv`: one row a run, read whole, with every fault at once, and written."""

from __future__ import annotations

import csv
import io
import re
from collections.abc import Iterable, Sequence
from itertools import islice

from tarebook.core.csv_text import WITH_COMMAS, WITH_SEMICOLONS, CsvWay, csv_text, unguarded
from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import (
    BASE,
    PLUS,
    QUANTITY_OF_COLUMN,
    Quantity,
    Reading,
    RunTable,
    memory_value,
    number_value,
)
from tarebook.series.faults import did_you_mean, shown

RUN, NOTE = "run", "note"
HEADER = (RUN, *(quantity.value for quantity in Quantity), NOTE)
"""The columns that a sheet may have, without repeats, in the order in which they are written."""

_REPEAT = re.compile(r"(?P<name>.+?)_(?P<repeat>[2-9]|[1-9][0-9]+)")
_NUMBER = re.compile(r"[+-]?([0-9]+\.?[0-9]*|\.[0-9]+)([eE][+-]?[0-9]+)?")
_FILLING = re.compile(r"[0-9]+\.?[0-9]*|\.[0-9]+")
_COMMA = re.compile(r"[+-]?[0-9]+,[0-9]+")
_POINT = re.compile(r"[+-]?[0-9]*\.[0-9]+")
_WITH_UNIT = re.compile(r"(?P<number>[+-]?[0-9]+([.,][0-9]+)?)\s*(?P<unit>[^\W\d_]|°|%).*")

LEAST, MOST = 1e-7, 1e7
"""Sizes of a reading that is not zero, in the unit of its column: nothing at a bench is beyond."""

MOST_IN_CELL, MOST_RUNS, MOST_FAULTS = 5_000, 500, 100
"""Characters in a cell, runs of a series and faults listed at once: more is some other file."""


def parse_sheet(text: str, name: str = "readings.csv") -> RunTable:
    r"""Return the readings of a sheet: cells between commas, or between semicolons.

    Between semicolons numbers may have a decimal comma, as spreadsheets write them in many places.

    Parameters
    ----------
    text : str
        The whole file.
    name : str
        Name of the file, for the messages.

    Returns
    -------
    RunTable

    Raises
    ------
    InputError
        With every fault of the whole sheet: row, column, what was found, what is allowed.

    Examples
    --------
    >>> table = parse_sheet("run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g\n"
    ...                     "1,12.31,10.0,30.0,52.20,1.02,52.96\n")
    >>> table.runs
    ('1',)
    """
    way = way_of(text)
    rows = [
        (number, row) for number, row in _rows(text, name, way) if any(cell.strip() for cell in row)
    ]
    if not rows:
        columns = ", ".join((RUN, *(quantity.value for quantity in BASE), NOTE))
        allowed = f"a first row with the columns {columns}, then one row a run"
        do = "Begin with a blank sheet: tarebook start NEW_FOLDER."
        raise InputError([Fault(where=name, found="nothing", allowed=allowed, do=do)])
    _refuse_tabs(rows[0][1], name)
    return _Sheet(rows, name, way).table()


def way_of(text: str) -> CsvWay:
    r"""Return how a sheet is written: as its first line with anything in it shows.

    Examples
    --------
    >>> way_of("run;tare_g;note\n1;12,31;\n").separator
    ';'
    """
    first = next((line for line in text.splitlines() if line.strip(" ,;")), "")
    return WITH_SEMICOLONS if first.count(";") > first.count(",") else WITH_COMMAS


def _rows(text: str, name: str, way: CsvWay) -> list[tuple[int, list[str]]]:
    """Return the rows of a sheet with their numbers, counted from 1 as a spreadsheet does."""
    # With newline="" the reader sees every line ending there is, as its documentation asks for.
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=way.separator)
    try:
        # A series with its blank lines; what is longer is refused without being read to its end.
        return list(islice(enumerate(reader, start=1), 10 * MOST_RUNS))
    except csv.Error:
        fault = Fault(
            where=f"{name}, line {reader.line_num}",
            found="a cell without end",
            allowed=f"at most {MOST_IN_CELL} characters in a cell",
            do='Is a closing quotation mark (") missing, or is this another file?',
        )
        raise InputError([fault]) from None


def _refuse_tabs(first: list[str], name: str) -> None:
    if len(first) < 3 and first[0].count("\t") >= 2:
        fault = Fault(
            where=f"{name}, row 1",
            found="columns separated by tabs",
            allowed="columns separated by commas, or by semicolons where decimals have a comma",
            do="Save the sheet again as CSV (UTF-8).",
        )
        raise InputError([fault])


class _Sheet:
    """Reads the rows of a sheet and gathers the faults of all of them."""

    def __init__(self, rows: list[tuple[int, list[str]]], name: str, way: CsvWay) -> None:
        self.name, self.way = name, way
        self.top, first = rows[0]
        self.header = [cell.strip() for cell in first]
        self.rows = rows[1:]
        self.decimal = self._decimal()
        self.faults: list[Fault] = []

    def table(self) -> RunTable:
        columns = self._columns()
        runs: dict[str, int] = {}
        readings: list[Reading] = []
        notes: dict[str, str] = {}
        self._count()
        for number, row in self.rows if RUN in self.header else []:
            if len(row) != len(self.header):
                self._length(number, row)
                continue
            cells = dict(zip(self.header, (unguarded(cell.strip()) for cell in row), strict=True))
            run = self._run(number, cells, runs)
            runs[run] = number
            if cells.get(NOTE):
                notes[run] = self._note(number, cells[NOTE])
            for column, quantity in columns:
                typed = cells[column]
                if typed:
                    place = f"row {number}, column {column}"
                    readings += self._reading(run, quantity, typed, place)
            if len(self.faults) > MOST_FAULTS:
                where, do = f"row {number} and below", "Put these right first, then run it again."
                self._fault(where, "too many faults to list", "a sheet of readings", do)
                break
        if self.faults:
            raise InputError(self.faults)
        return RunTable(runs=tuple(runs), readings=tuple(readings), notes=notes)

    def _decimal(self) -> str:
        """Return the decimal mark of the sheet: one for all its numbers, or 1.234 may be two."""
        read = [at for at, column in enumerate(self.header) if column not in (RUN, NOTE)]
        cells = [row[at].strip() for _, row in self.rows for at in read if at < len(row)]
        commas, points = (sum(1 for cell in cells if mark.match(cell)) for mark in (_COMMA, _POINT))
        as_most = WITH_SEMICOLONS if commas and commas >= points else WITH_COMMAS
        return as_most.decimal if self.way is WITH_SEMICOLONS else WITH_COMMAS.decimal

    def _count(self) -> None:
        if not self.rows:
            where, do = f"row {self.top + 1}", "Add a row for each run."
            self._fault(where, "nothing", "at least one run", do)
        if len(self.rows) > MOST_RUNS:
            where, do = f"row {self.top + 1} and below", "Is this another file?"
            self._fault(where, f"more than {MOST_RUNS} rows", f"at most {MOST_RUNS} runs", do)
            self.rows = []

    def _length(self, number: int, row: list[str]) -> None:
        marks = "semicolons" if self.way is WITH_SEMICOLONS else "commas"
        do = f"Leave a cell blank where nothing was read, but keep its {marks}."
        if len(row) > len(self.header):
            mark = marks.removesuffix("s")
            do = f"A {mark} inside a note needs quotes around the note."
            if self.way is WITH_COMMAS:
                do = f"Is there a decimal comma? {do}"
        elif any("\n" in cell for cell in row):
            do = 'Is a closing quotation mark (") missing in it?'
        allowed = f"{len(self.header)}, one for each column"
        self._fault(f"row {number}", f"{len(row)} cell{'s' if len(row) != 1 else ''}", allowed, do)

    def _note(self, number: int, note: str) -> str:
        if len(note) > MOST_IN_CELL:
            allowed = f"at most {MOST_IN_CELL} characters"
            self._fault(f"row {number}, column {NOTE}", f"{len(note)} characters", allowed)
        return note

    def _fault(self, where: str, found: str, allowed: str, do: str = "") -> None:
        place = f"{self.name}, {where}"
        self.faults.append(Fault(where=place, found=found, allowed=allowed, do=do))

    def _columns(self) -> list[tuple[str, Quantity]]:
        columns: list[tuple[str, Quantity]] = []
        meant: set[str] = set()
        for position, column in enumerate(self.header, start=1):
            match = _REPEAT.fullmatch(column)
            base = match["name"] if match else column
            if self.header.index(column) != position - 1:
                do = f"Name a second reading of the same quantity {base}_2."
                where = f"row {self.top}, column {position}"
                self._fault(where, f"{shown(column)} again", "each column once", do)
            elif base in QUANTITY_OF_COLUMN:
                columns.append((column, QUANTITY_OF_COLUMN[base]))
            elif column not in (RUN, NOTE):
                do = did_you_mean(column, HEADER, "Remove it, or put what it says into the note.")
                meant.update(name for name in HEADER if f" {name}?" in do)
                where = f"row {self.top}, column {position}"
                self._fault(where, shown(column), ", ".join(HEADER), do)
        # A column that is there under a misspelt name is one fault, not two.
        if RUN not in self.header and RUN not in meant:
            do = "Add it, with the name of each run; a column that nobody read may be missing."
            self._fault(f"row {self.top}", f"no column {RUN}", ", ".join(HEADER), do)
        return columns

    def _run(self, number: int, cells: dict[str, str], seen: dict[str, int]) -> str:
        run = cells[RUN]
        if not run:
            do = "Name it as the plan does: 1, 2, 3 ... unless the definition has names."
            self._fault(f"row {number}, column run", "nothing", "the name of the run", do)
        elif run in seen:
            do = "A repeated reading goes into a column ending in _2 of the same row."
            self._fault(
                f"row {number}, column run",
                f"{shown(run)}, which stands in row {seen[run]} too",
                "each run once",
                do,
            )
        return run

    def _reading(self, run: str, quantity: Quantity, typed: str, place: str) -> Iterable[Reading]:
        with_point = typed.replace(self.decimal, ".")
        mixed = self.decimal != "." and "." in typed
        parts = [] if mixed else _numbers(quantity, with_point)
        if not parts:
            unit = f" in {quantity.unit}" if quantity.unit else ""
            more = ", or of a pour in several fillings their sum (20 + 15)"
            mark = "point" if self.decimal == "." else "comma, as in most of the sheet"
            allowed = f"a number{unit}, with a decimal {mark}{more if quantity.is_volume else ''}"
            self._fault(place, shown(typed), allowed, _number_hint(typed, self.decimal))
            return
        if not all(float(part) == 0 or LEAST <= abs(float(part)) <= MOST for part in parts):
            allowed = f"0, or {LEAST:g} to {MOST:,.0f} {quantity.unit}".rstrip()
            self._fault(place, shown(typed), allowed, "Nothing at a bench shows that: check it.")
            return
        number = PLUS.join(parts)
        value = memory_value(quantity, number_value(number))
        yield Reading(run=run, quantity=quantity, value=value, typed=number, place=place)


def _numbers(quantity: Quantity, typed: str) -> list[str]:
    """Return the number of a cell, or those of which it is the sum; nothing if it is neither."""
    if _NUMBER.fullmatch(typed):
        return [typed]
    parts = [part.strip() for part in typed.split("+")] if quantity.is_volume else []
    return parts if all(_FILLING.fullmatch(part) for part in parts) else []


def _number_hint(typed: str, decimal: str) -> str:
    if (_COMMA if decimal == "." else _POINT).fullmatch(typed):
        return f"Write {_shown_number(typed, decimal)}."
    unit = _WITH_UNIT.fullmatch(typed)
    if unit:
        number = _shown_number(unit["number"], decimal)
        return f"Write {number} alone: the unit stands in the column's name."
    return "Leave the cell blank if nothing was read; remarks go into the note."


def _shown_number(typed: str, decimal: str) -> str:
    """Return a number with another decimal mark as it should be written, cut if it is long."""
    return shown(re.sub("[.,]", decimal, typed)).strip("'")


def blank_sheet(runs: Iterable[str], columns: Sequence[Quantity] = BASE) -> str:
    """Return a sheet with a row for each run and nothing read yet.

    Parameters
    ----------
    runs : iterable of str
    columns : sequence of Quantity
        What is read in this series.

    Examples
    --------
    >>> print(blank_sheet(["1"]), end="")
    run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g,temperature_C,minutes,note
    1,,,,,,,,,
    """
    return write_sheet(RunTable(runs=tuple(runs), readings=()), columns)


def write_sheet(
    table: RunTable, columns: Sequence[Quantity] = BASE, way: CsvWay = WITH_COMMAS
) -> str:
    """Return readings as a sheet: each number as it was typed, repeats in columns of their own.

    What follows from other readings or from the plan is not written: it follows again.

    Parameters
    ----------
    table : RunTable
    columns : sequence of Quantity
        Those that stand there even if nobody read them.
    way : CsvWay

    Returns
    -------
    str
        CSV with line feeds; `parse_sheet` reads it back unchanged.
    """
    most = {q: max((len(table.written(run, q)) for run in table.runs), default=0) for q in Quantity}
    places = [
        (quantity.value if repeat == 1 else f"{quantity.value}_{repeat}", quantity, repeat)
        for quantity in Quantity
        for repeat in range(1, max(most[quantity], int(quantity in columns)) + 1)
    ]
    lines = [[RUN, *(name for name, _, _ in places), NOTE]]
    for run in table.runs:
        cells = [run]
        for _, quantity, repeat in places:
            repeats = table.written(run, quantity)
            typed = repeats[repeat - 1].typed if repeat <= len(repeats) else ""
            cells.append(way.number(typed))
        lines.append([*cells, table.notes.get(run, "")])
    return csv_text(lines, separator=way.separator)
