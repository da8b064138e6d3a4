"""How anything is set on a terminal: tables that fit, headings, findings."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from rich import box
from rich.console import Console, RenderableType
from rich.table import Table as Grid
from rich.text import Text

from tarebook.report import numbers
from tarebook.report.equipment import Table
from tarebook.report.facts import Fact
from tarebook.report.languages.writing import ENGLISH, Writing
from tarebook.report.noticed import Said

COLOURS = {"stop": "bold red", "look": "yellow", "note": "cyan"}


def printed(parts: Iterator[RenderableType], width: int, colour: bool = False) -> str:
    """Return parts as lines.

    Parameters
    ----------
    parts : iterator of RenderableType
    width : int
        Columns of the terminal.
    colour : bool
        Whether to colour by escape sequences.
    """
    page = io.StringIO()
    console = Console(
        file=page,
        width=width,
        force_terminal=colour,
        color_system="standard" if colour else None,
        highlight=False,
        emoji=False,
        markup=False,
        legacy_windows=False,
        # In a notebook rich would show the page by itself, and again whenever it is shown.
        force_jupyter=False,
    )
    for part in parts:
        console.print(part)
    lines = (line.rstrip() for line in page.getvalue().splitlines())
    return "\n".join(lines) + "\n"


def tables(
    title: str, tables: tuple[Table, ...], width: int, how: Writing = ENGLISH
) -> Iterator[RenderableType]:
    """Yield tables under one heading; they share the explanation of u in brackets."""
    fitted = [_fitting(table, width) for table in tables]
    for place, (table, _) in enumerate(fitted):
        yield from titled(title, _grid(table)) if place == 0 else ("", _grid(table))
    if any(concise for _, concise in fitted):
        yield Text(_brackets(how), style="dim")


def _brackets(how: Writing) -> str:
    """Return what a number with its u in brackets stands for, by an example."""
    value, u = (numbers.fixed(one, 2, how.style) for one in (12.34, 0.56))
    return how("report.brackets", value=value, digits="56", u=u)


def titled(title: str, part: RenderableType) -> Iterator[RenderableType]:
    """Yield a part under a heading."""
    yield ""
    yield Text(title, style="bold underline")
    yield part


def _grid(table: Table) -> RenderableType:
    grid = Grid(box=box.SIMPLE_HEAD, padding=0, pad_edge=False, show_edge=False)
    for place, head in enumerate(table.columns):
        words = place in table.words
        grid.add_column(Text(head), justify="left" if words else "right", no_wrap=not words)
    for row in table.rows:
        grid.add_row(*(Text(cell) for cell in row))
    return grid


def _fitting(table: Table, width: int) -> tuple[Table, bool]:
    """Return the table with cells that fit the width, and whether u stands in brackets for that.

    References
    ----------
    .. [1] JCGM 100:2008 (GUM), 7.2.2: the number in parentheses is u in the last digits.
    """
    rows = tuple(tuple(_tight(cell) for cell in row) for row in table.rows)
    heads = [head.split("\n") for head in table.columns]
    columns = zip(heads, *rows, strict=True)
    needed = sum(max(len(t) for t in (*head, *cells)) + 1 for head, *cells in columns) - 1
    if needed <= width:
        return replace(table, rows=rows), False
    short = tuple(tuple(_BOTH.sub(_in_brackets, cell) for cell in row) for row in rows)
    return replace(table, rows=short), short != rows


_BOTH = re.compile(r"(\S+)±(\S+)")


def _in_brackets(both: re.Match[str]) -> str:
    u = re.sub(r"\D", "", both[2]).lstrip("0")
    return f"{both[1]}({u})"


def _tight(cell: str) -> str:
    """Return a cell without its inner spaces: eight columns fit 80 characters only so."""
    return cell.replace(" ± ", "±").replace("> ", ">").replace("< ", "<")


def facts_grid(facts: Iterable[Fact]) -> RenderableType:
    """Return numbers with what they are and how they were come by."""
    grid = Grid.grid(padding=(0, 2, 0, 0))
    for fact in facts:
        said = Text(f"{fact.value}", style="bold")
        # The note may name another number: the interval stands before it, by its own.
        interval = f"95 %: {fact.interval}; " if fact.interval else ""
        said.append(f"\n{interval}{fact.note}", style="dim not bold")
        grid.add_row(Text(fact.label), said)
    return grid


def findings_grid(findings: tuple[Said, ...], how: Writing = ENGLISH) -> Iterator[RenderableType]:
    """Yield findings, each with what to do."""
    if not findings:
        yield Text(how("report.nothing_odd"))
        return
    grid = Grid.grid(padding=(0, 2, 0, 0))
    for said in findings:
        grid.add_row(Text(said.word, style=COLOURS[said.severity]), _finding(said, how))
    yield grid


def _finding(said: Said, how: Writing) -> RenderableType:
    lines = Text(said.message)
    lines.append(f"\n{how('report.to_do', do=said.do)}", style="italic")
    if said.evidence:
        lines.append(f"\n{said.evidence}", style="dim")
    return lines
