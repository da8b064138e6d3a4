"""The sheet `readings.csv`: one row a run, read whole, with every fault at once, and written."""

from __future__ import annotations

import csv
import difflib
import io
import math
import re
from collections.abc import Iterable

from tarebook.core.errors import Fault, InputError
from tarebook.records.readings import NEEDED, Quantity, Reading, RunTable, memory_value

RUN, NOTE = "run", "note"
HEADER = (RUN, *(quantity.value for quantity in Quantity), NOTE)
"""The columns of a sheet without repeats, in the order in which they are written."""

_REPEAT = re.compile(r"^(?P<name>.+?)_(?P<repeat>[2-9]|[1-9][0-9])$")
_NUMBER = re.compile(r"^[+-]?(\d+\.?\d*|\.\d+)([eE][+-]?\d+)?$")
_COMMA = re.compile(r"^[+-]?\d+,\d+$")
_WITH_UNIT = re.compile(r"^(?P<number>[+-]?[\d.,]+)\s*(?P<unit>[^\d\s.,].*)$")


def parse_sheet(text: str, name: str = "readings.csv") -> RunTable:
    r"""Return the readings of a sheet.

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
    if not text.strip():
        allowed = f"a first row with the columns {', '.join(HEADER)}, then one row a run"
        raise InputError([Fault(where=name, found="nothing", allowed=allowed)])
    rows = list(csv.reader(io.StringIO(text)))
    _refuse_other_separators(rows[0], name)
    return _Sheet(rows, name).table()


def _refuse_other_separators(first: list[str], name: str) -> None:
    line = first[0] if first else ""
    for separator, word in ((";", "semicolons"), ("\t", "tabs")):
        if len(first) < 3 and line.count(separator) >= 2:
            fault = Fault(
                where=f"{name}, row 1",
                found=f"columns separated by {word}",
                allowed="columns separated by commas, numbers with a decimal point (12.5)",
                do="Save the sheet again as CSV with comma and decimal point (UTF-8).",
            )
            raise InputError([fault])


class _Sheet:
    def __init__(self, rows: list[list[str]], name: str) -> None:
        self.name = name
        self.header = [cell.strip() for cell in rows[0]]
        self.rows = [(number, row) for number, row in enumerate(rows[1:], start=2) if any(row)]
        self.faults: list[Fault] = []

    def table(self) -> RunTable:
        columns = self._columns()
        if self.faults:
            raise InputError(self.faults)
        if not self.rows:
            self._fault("row 2", "nothing", "at least one run")
        runs: dict[str, int] = {}
        readings: list[Reading] = []
        notes: dict[str, str] = {}
        for number, row in self.rows:
            if len(row) != len(self.header):
                do = "A comma inside a note needs quotes around the note."
                self._fault(
                    f"row {number}", f"{len(row)} cells", f"{len(self.header)}, one a column", do
                )
                continue
            cells = dict(zip(self.header, (cell.strip() for cell in row), strict=True))
            run = self._run(number, cells, runs)
            runs[run] = number
            if cells.get(NOTE):
                notes[run] = cells[NOTE]
            for column, quantity in columns:
                typed = cells[column]
                if typed:
                    place = f"row {number}, column {column}"
                    readings += self._reading(run, quantity, typed, place)
        if self.faults:
            raise InputError(self.faults)
        return RunTable(runs=tuple(runs), readings=tuple(readings), notes=notes)

    def _fault(self, where: str, found: str, allowed: str, do: str = "") -> None:
        place = f"{self.name}, {where}"
        self.faults.append(Fault(where=place, found=found, allowed=allowed, do=do))

    def _columns(self) -> list[tuple[str, Quantity]]:
        known = {quantity.value: quantity for quantity in Quantity}
        columns: list[tuple[str, Quantity]] = []
        for position, column in enumerate(self.header, start=1):
            match = _REPEAT.match(column)
            base = match["name"] if match else column
            if self.header.count(column) > 1 and self.header.index(column) == position - 1:
                self._fault("row 1", f"the column {column!r} twice", f"{column}_2 for a repeat")
            if base in known:
                columns.append((column, known[base]))
            elif column not in (RUN, NOTE):
                close = difflib.get_close_matches(column, HEADER, n=1, cutoff=0.5)
                do = f"Did you mean {close[0]}?" if close else "Remove it or put it into the note."
                self._fault(f"row 1, column {position}", f"{column!r}", ", ".join(HEADER), do)
        for needed in (RUN, *(quantity.value for quantity in NEEDED)):
            if needed not in self.header:
                do = "Add the column; leave a cell blank where nothing was read."
                self._fault("row 1", f"no column {needed}", "every needed column", do)
        return columns

    def _run(self, number: int, cells: dict[str, str], seen: dict[str, int]) -> str:
        run = cells[RUN]
        if not run:
            self._fault(f"row {number}, column run", "nothing", "the name of the run")
        elif run in seen:
            do = "A repeated reading goes into a column ending in _2 of the same row."
            self._fault(
                f"row {number}, column run",
                f"{run!r}, which stands in row {seen[run]} too",
                "each run once",
                do,
            )
        return run

    def _reading(self, run: str, quantity: Quantity, typed: str, place: str) -> Iterable[Reading]:
        if not _NUMBER.match(typed) or not math.isfinite(float(typed)):
            self._fault(place, repr(typed), f"a number of {quantity.unit}", _number_hint(typed))
            return
        value = memory_value(quantity, float(typed))
        yield Reading(run=run, quantity=quantity, value=value, typed=typed, place=place)


def _number_hint(typed: str) -> str:
    if _COMMA.match(typed):
        return f"Write {typed.replace(',', '.')}: a decimal point."
    unit = _WITH_UNIT.match(typed)
    if unit:
        number = unit["number"].replace(",", ".")
        return f"Write {number} alone: the unit stands in the column's name."
    return "Leave the cell blank if nothing was read; remarks go into the note."


def blank_sheet(runs: Iterable[str]) -> str:
    """Return a sheet with a row for each run and nothing read yet.

    Examples
    --------
    >>> print(blank_sheet(["1"]), end="")
    run,tare_g,reagent_mL,diluent_mL,vessel_liquid_g,sample_g,final_g,temperature_C,minutes,note
    1,,,,,,,,,
    """
    return write_sheet(RunTable(runs=tuple(runs), readings=()))


def write_sheet(table: RunTable) -> str:
    """Return readings as a sheet: each number as it was typed, repeats in columns of their own.

    Parameters
    ----------
    table : RunTable

    Returns
    -------
    str
        CSV with commas, decimal points and line feeds; `parse_sheet` reads it back unchanged.
    """
    most = {q: max((len(table.of(run, q)) for run in table.runs), default=0) for q in Quantity}
    columns = [
        (quantity.value if repeat == 1 else f"{quantity.value}_{repeat}", quantity, repeat)
        for quantity in Quantity
        for repeat in range(1, max(most[quantity], 1) + 1)
    ]
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow([RUN, *(name for name, _, _ in columns), NOTE])
    for run in table.runs:
        cells = [run]
        for _, quantity, repeat in columns:
            repeats = table.of(run, quantity)
            cells.append(repeats[repeat - 1].typed if repeat <= len(repeats) else "")
        writer.writerow([*cells, table.notes.get(run, "")])
    return out.getvalue()
