"""Cells of every CSV that is written: no spreadsheet takes one for a formula, and all come back.

A cell that a spreadsheet would calculate gets an apostrophe in front, which marks a text there.
Where such a cell begins with apostrophes of its own it gets one more, so that taking one away gives
back what was written.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from typing import Final

APOSTROPHE: Final = "'"

_CALCULATED: Final = re.compile(
    r"'*([=@\t\r\uff1d\uff20\uff0b\uff0d]|[+\-](?![\d.,]+([eE][+-]?\d+)?$))"
)
"""How a cell begins that a spreadsheet would calculate, or that begins as a guarded one does; a
signed number is none. Some take the wide signs of East Asian keyboards for the same, also before a
number, which nobody writes with them here."""


@dataclass(frozen=True, slots=True)
class CsvWay:
    """How a CSV separates its cells and writes its decimals.

    Attributes
    ----------
    separator, decimal : str
    """

    separator: str = ","
    decimal: str = "."

    def number(self, text: str) -> str:
        """Return a number that has a decimal point as it is written here."""
        return text.replace(".", self.decimal)


WITH_COMMAS: Final = CsvWay()
WITH_SEMICOLONS: Final = CsvWay(";", ",")
"""As spreadsheets write and read it where the decimal mark is a comma."""


def guarded(text: str) -> str:
    """Return a cell that no spreadsheet takes for a formula.

    Examples
    --------
    >>> guarded("=1+1"), guarded("-2"), guarded("\uff0b2"), guarded("as planned")
    ("'=1+1", '-2', "'＋2", 'as planned')
    """
    return f"{APOSTROPHE}{text}" if _CALCULATED.match(text) else text


def unguarded(cell: str) -> str:
    """Return what was guarded.

    Examples
    --------
    >>> unguarded("'=1+1"), unguarded("=1+1"), unguarded("'quoted'")
    ('=1+1', '=1+1', "'quoted'")
    """
    if cell.startswith(APOSTROPHE) and _CALCULATED.match(cell):
        return cell[1:]
    return cell


def csv_text(
    rows: Iterable[Iterable[str]], line_end: str = "\n", separator: str = WITH_COMMAS.separator
) -> str:
    r"""Return rows as CSV.

    Parameters
    ----------
    rows : iterable of iterable of str
    line_end, separator : str

    Examples
    --------
    >>> csv_text([["1", "@home, twice"]])
    '1,"\'@home, twice"\n'
    """
    lines = (separator.join(_quoted(guarded(cell), separator) for cell in row) for row in rows)
    return "".join(line + line_end for line in lines)


def _quoted(cell: str, separator: str) -> str:
    """Return a cell, quoted where it holds a character that would end it."""
    # The module csv leaves a lone carriage return unquoted and then refuses to read it.
    if any(character in cell for character in f'{separator}"\r\n'):
        return '"' + cell.replace('"', '""') + '"'
    return cell
