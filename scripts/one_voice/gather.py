"""All outputs of a row together, and the same with the numbers of one of them spoilt."""

from __future__ import annotations

import copy
import re
from collections.abc import Iterable
from dataclasses import replace
from typing import Any

from scripts.one_voice.held import of_csv, of_json, of_workbook
from scripts.one_voice.lines import Found
from scripts.one_voice.outputs import TEXTS, Outputs
from scripts.one_voice.shown import of_text
from scripts.one_voice.voices import Printed, read_number

HELD = {"JSON": of_json, "CSV": of_csv, "workbook": of_workbook}
"""Outputs whose numbers are held under names."""

EVERY = (*HELD, *TEXTS)
"""Every output of a row that was reduced."""


def gather(out: Outputs) -> Found:
    """Return every quantity of every output, and the lines that an output lacks.

    Parameters
    ----------
    out : Outputs
    """
    found = Found()
    for where in EVERY:
        one = gather_one(out, where)
        found.printed += one.printed
        found.missing += one.missing
    return found


def gather_one(out: Outputs, where: str) -> Found:
    """Return the quantities of one output.

    Parameters
    ----------
    out : Outputs
    where : str
        One of `EVERY`.
    """
    if where in HELD:
        return Found(printed=list(HELD[where](out)))
    return of_text(out, where)


def spoilt(out: Outputs, where: str) -> Outputs:
    """Return the outputs with every number of one of them changed, and nothing else.

    Parameters
    ----------
    out : Outputs
    where : str
        One of `EVERY`.
    """
    if where == "JSON":
        return replace(out, json=more(out.json))
    if where == "CSV":
        return replace(out, csv=[{name: _more_cell(name, cell) for name, cell in row.items()}
                                 for row in out.csv])  # fmt: skip
    if where == "workbook":
        return replace(out, workbook=_more_book(out.workbook))
    changed = changed_text(out.texts[where], of_text(out, where).printed)
    return replace(out, texts={**out.texts, where: changed})


def changed_text(text: str, printed: Iterable[Printed]) -> str:
    """Return a text in which every gathered number is five larger in its last place.

    Parameters
    ----------
    text : str
    printed : iterable of Printed
        As they were found in it.
    """
    for start, end in sorted({one.span for one in printed}, reverse=True):
        number = text[start:end]
        bound = number[0] if number[0] in "<>" else ""
        _, last = read_number(number.lstrip("<>"))
        value = read_number(number.lstrip("<>"))[0] + 5.0 * last
        shown = f"{value:.{len(number.partition('.')[2])}f}".replace("-", "−")
        plus = "+" if number.startswith("+") else ""
        text = f"{text[:start]}{bound}{plus}{shown}{text[end:]}"
    return text


def more(held: Any) -> Any:
    """Return what a JSON holds with every number in it larger.

    Parameters
    ----------
    held : dict, list, str, float, bool or None
    """
    if isinstance(held, dict):
        return {name: more(value) for name, value in held.items()}
    if isinstance(held, list):
        return [more(value) for value in held]
    if isinstance(held, int | float) and not isinstance(held, bool):
        return 1.5 * held + 1.0
    return held


def _more_cell(name: str, cell: str) -> str:
    if name == "run" or not re.fullmatch(r"-?[0-9.]+(?:e[+-]?[0-9]+)?", cell):
        return cell
    return f"{1.5 * float(cell) + 1.0:.6g}"


def _more_book(book: Any) -> Any:
    changed = copy.deepcopy(book)
    for sheet in changed.worksheets:
        for row in sheet.iter_rows():
            for cell in row:
                if isinstance(cell.value, int | float) and not isinstance(cell.value, bool):
                    cell.value = 1.5 * cell.value + 1.0
    return changed
