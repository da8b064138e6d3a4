"""The result on a terminal: the answer first, then what it rests on."""

from __future__ import annotations

import io
import re
from collections.abc import Iterable, Iterator
from dataclasses import replace

from rich import box
from rich.console import Console, RenderableType
from rich.table import Table as Grid
from rich.text import Text

from tarebook.diagnosis.findings import Finding
from tarebook.report import numbers
from tarebook.report.equipment import Table
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.story import Said, Story, say, tell

BAR = 24
"""Length of the longest bar in characters."""

COLOURS = {"stop": "bold red", "look": "yellow", "note": "cyan"}


def text(
    outcome: Outcome,
    *,
    width: int = 80,
    colour: bool = False,
    style: NumberStyle = numbers.TERMINAL,
) -> str:
    """Return the result as lines for a terminal.

    Parameters
    ----------
    outcome : Outcome
    width : int
        Columns of the terminal; from 72 on nothing is cut.
    colour : bool
        Whether to colour by escape sequences; without, words say the same.
    style : NumberStyle
    """
    return _printed(_parts(tell(outcome, style), width), width, colour)


def findings_text(
    findings: Iterable[Finding],
    *,
    width: int = 80,
    colour: bool = False,
    style: NumberStyle = numbers.TERMINAL,
) -> str:
    """Return findings alone, as `text` shows them."""
    said = tuple(say(finding, style) for finding in findings)
    return _printed(_findings(said), width, colour)


def _printed(parts: Iterator[RenderableType], width: int, colour: bool) -> str:
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
    )
    for part in parts:
        console.print(part)
    lines = (line.rstrip() for line in page.getvalue().splitlines())
    return "\n".join(lines) + "\n"


def _parts(story: Story, width: int) -> Iterator[RenderableType]:
    if story.invented:
        yield Text(story.invented, style="bold magenta")
    yield Text(story.title, style="bold")
    yield Text(story.equation)
    yield ""
    yield Text(story.answer, style="bold green" if story.headline else "bold yellow")
    if story.headline:
        yield Text(f"95 % interval: {story.headline.interval}")
    if story.claim:
        yield Text(story.claim, style="" if story.agrees else "yellow")
    if story.second_way:
        yield Text(story.second_way)
    if story.warning:
        yield Text(story.warning, style="bold red")
    if story.caveat:
        yield Text(story.caveat, style="dim")
    table, concise = _fitting(story.runs, width)
    yield from _titled("Runs", _grid(table))
    if concise:
        yield Text("12.34(56) stands for 12.34 ± 0.56.", style="dim")
    yield from (Text(f"* {line}") for line in story.not_used)
    if story.facts:
        yield from _titled("Change-over", _facts(story))
    yield ""
    yield Text("Findings", style="bold underline")
    yield from _findings(story.findings)
    if story.budget:
        yield from _titled("Where the uncertainty comes from", _bars(story))
    yield ""
    yield Text(story.about_u, style="dim")
    yield Text(story.method, style="dim")


def _titled(title: str, part: RenderableType) -> Iterator[RenderableType]:
    yield ""
    yield Text(title, style="bold underline")
    yield part


def _grid(table: Table) -> RenderableType:
    grid = Grid(box=box.SIMPLE_HEAD, padding=0, pad_edge=False, show_edge=False)
    for place, head in enumerate(table.columns):
        grid.add_column(
            Text(head), justify="left" if place in table.words else "right", no_wrap=True
        )
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
    concise = needed > width
    if concise:
        rows = tuple(tuple(_BOTH.sub(_in_brackets, cell) for cell in row) for row in rows)
    return replace(table, rows=rows), concise


_BOTH = re.compile(r"(\S+)±(\S+)")


def _in_brackets(both: re.Match[str]) -> str:
    u = re.sub(r"\D", "", both[2]).lstrip("0")
    return f"{both[1]}({u})"


def _tight(cell: str) -> str:
    """Return a cell without its inner spaces: eight columns fit 80 characters only so."""
    return cell.replace(" ± ", "±").replace("> ", ">").replace("< ", "<")


def _facts(story: Story) -> RenderableType:
    grid = Grid.grid(padding=(0, 2, 0, 0))
    for fact in story.facts:
        said = Text(f"{fact.value}", style="bold")
        said.append(f"\n{fact.note}", style="dim not bold")
        if fact.interval:
            said.append(f"; 95 %: {fact.interval}", style="dim not bold")
        grid.add_row(Text(fact.label), said)
    return grid


def _findings(findings: tuple[Said, ...]) -> Iterator[RenderableType]:
    if not findings:
        yield Text("Nothing odd was noticed in the readings.")
        return
    grid = Grid.grid(padding=(0, 2, 0, 0))
    for said in findings:
        grid.add_row(Text(said.severity, style=COLOURS[said.severity]), _finding(said))
    yield grid


def _finding(said: Said) -> RenderableType:
    lines = Text(said.message)
    lines.append(f"\nDo: {said.do}", style="italic")
    if said.evidence:
        lines.append(f"\n{said.evidence}", style="dim")
    return lines


def _bars(story: Story) -> RenderableType:
    grid = Grid.grid(padding=(0, 2, 0, 0))
    most = max(share.part for share in story.budget)
    for share in story.budget:
        length = max(1, round(BAR * share.part / most))
        grid.add_row(
            Text(share.source), Text(share.text, justify="right"), Text("█" * length, style="cyan")
        )
    return grid
