"""The plan on a terminal: whether it works first, then what to change, then the details."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import replace

from rich import box
from rich.console import RenderableType
from rich.table import Table as Grid
from rich.text import Text

from tarebook.report.equipment import Table
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.noticed import Said
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import Bar, PlanStory, tell_plan
from tarebook.report.terminal import COLOURS, printed, titled
from tarebook.report.text import on_terminal

BAR = 24
"""Length of the longest bar in characters."""


def plan_text(
    outcome: PlanOutcome,
    *,
    width: int = 80,
    colour: bool = False,
    how: Writing | None = None,
) -> str:
    """Return a plan as lines for a terminal.

    Parameters
    ----------
    outcome : PlanOutcome
    width : int
        Columns of the terminal; from 80 on nothing is cut.
    colour : bool
        Whether to colour by escape sequences; without, words say the same.
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    how = on_terminal(how or course_writing(outcome.plan.experiment))
    return printed(_parts(tell_plan(outcome, how), width, how), width, colour)


def _parts(story: PlanStory, width: int, how: Writing) -> Iterator[RenderableType]:
    yield Text(story.answer, style="bold green" if story.works else "bold red")
    yield Text(story.prospect)
    if story.anew:
        yield Text(story.anew)
    if story.invented:
        yield Text(story.invented, style="magenta")
    if story.findings:
        yield ""
        yield _findings(story.findings, how)
    yield from titled(story.said["rows"], _grid(story.rows, width))
    if story.rows_note:
        yield Text(story.rows_note, style="dim")
    yield from titled(story.said["runs"], _grid(_tight(story.runs, width), width))
    yield Text(story.runs.caption, style="dim")
    yield Text(story.vessel)
    yield Text(story.takes)
    yield from titled(story.said["care"], _grid(story.care, width))
    yield Text(story.care.caption, style="dim")
    bars = _bars(story.upgrades) if story.upgrades else Text(story.no_upgrade)
    yield from titled(story.upgrades_title, bars)
    yield from titled(story.said["what_if"], _grid(story.variants, width))
    yield Text(story.variants.caption, style="dim")
    yield ""
    yield Text(story.method, style="dim")


def _tight(table: Table, width: int) -> Table:
    """Return the run table with shorter cells where the terminal is narrow."""
    if width >= 96:
        return table
    rows = tuple(tuple(re.sub(r"([<>]) ", r"\1", cell) for cell in row) for row in table.rows)
    return replace(table, rows=rows)


def _grid(table: Table, width: int) -> RenderableType:
    fits = _needed(table, gap=1) <= width
    loose = (0, 1, 0, 0) if _needed(table, gap=2) <= width else (0, 0, 0, 0)
    grid = Grid(box=box.SIMPLE_HEAD, padding=loose, pad_edge=False, show_edge=False)
    for place, head in enumerate(table.columns):
        words = place in table.words
        grid.add_column(
            Text(head),
            justify="left" if words else "right",
            no_wrap=not words or (place == 0 and fits),
        )
    for row in table.rows:
        grid.add_row(*(Text(cell) for cell in row))
    return grid


def _needed(table: Table, gap: int) -> int:
    """Return how many characters a table takes with its columns so far apart."""
    columns = zip((head.split("\n") for head in table.columns), *table.rows, strict=True)
    widths = [max(len(t) for t in (*head, *cells)) for head, *cells in columns]
    return sum(widths) + gap * (len(widths) - 1)


def _findings(findings: tuple[Said, ...], how: Writing) -> RenderableType:
    grid = Grid.grid(padding=(0, 2, 0, 0))
    for said in findings:
        lines = Text(said.message)
        lines.append(f"\n{how('report.to_do', do=said.do)}", style="italic")
        grid.add_row(Text(said.word, style=COLOURS[said.severity]), lines)
    return grid


def _bars(bars: tuple[Bar, ...]) -> RenderableType:
    grid = Grid.grid(padding=(0, 2, 0, 0))
    most = max(bar.part for bar in bars)
    for bar in bars:
        length = max(1, round(BAR * bar.part / most))
        grid.add_row(
            Text(bar.source), Text(bar.text, justify="right"), Text("█" * length, style="cyan")
        )
    return grid
