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
from tarebook.report.model_story import ModelStory
from tarebook.report.model_words import Drop
from tarebook.report.noticed import Said, say_all
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.story import Story, tell

LEAST_BAR, MOST_BAR = 8, 36
"""Length of the longest bar in characters: on a narrow terminal, and on any other."""

COLOURS = {"stop": "bold red", "look": "yellow", "note": "cyan"}


def text(
    outcome: Outcome,
    *,
    width: int = 80,
    colour: bool = False,
    style: NumberStyle = numbers.TERMINAL,
) -> str:
    """Return the result as lines for a terminal: the answer, the runs, then what it rests on.

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


def summary(outcome: Outcome, *, width: int = 80, style: NumberStyle = numbers.TERMINAL) -> str:
    """Return the beginning of `text`: the answer, where it comes from, the runs."""
    return _printed(_answer(tell(outcome, style), width), width)


def findings_text(
    findings: Iterable[Finding],
    *,
    width: int = 80,
    colour: bool = False,
    style: NumberStyle = numbers.TERMINAL,
) -> str:
    """Return findings alone, as `text` shows them."""
    return _printed(_findings(say_all(findings, style)), width, colour)


def _printed(parts: Iterator[RenderableType], width: int, colour: bool = False) -> str:
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


def _answer(story: Story, width: int) -> Iterator[RenderableType]:
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
    if story.model:
        yield Text(story.model.usual)
    if story.warning:
        yield Text(story.warning, style="bold red")
    if story.caveat:
        yield Text(story.caveat, style="dim")
    if story.model and story.model.waterfall:
        title = "From the usual sum to the model of the cup"
        yield from _titled(title, _waterfall(story.model.waterfall, width))
    yield from _tables("Runs", story.runs, width)
    yield from (Text(f"* {line}") for line in story.not_used)


def _parts(story: Story, width: int) -> Iterator[RenderableType]:
    yield from _answer(story, width)
    if story.facts:
        title = "Beside the answer" if story.model else "Change-over"
        yield from _titled(title, _facts(story))
    yield ""
    yield Text("Findings", style="bold underline")
    yield from _findings(story.findings)
    if story.model:
        yield from _model(story.model, width)
    if story.budget:
        yield from _titled("Where the uncertainty comes from", _bars(story, width))
    yield ""
    yield Text(story.about_u, style="dim")
    yield Text(story.method, style="dim")


def _model(model: ModelStory, width: int) -> Iterator[RenderableType]:
    """Yield what the model is, how well it fits and what the readings taught it."""
    yield from _titled("The model of the cup", Text(model.about, style="dim"))
    yield Text(model.fit)
    if model.interval:
        yield Text(model.interval)
    if model.residuals:
        yield from _tables("Readings that fit worst", (model.residuals,), width)
    # Where the first values are from stands in the report; here there is no room for it.
    columns = len(model.parameters.columns) - 1
    short = replace(
        model.parameters,
        columns=model.parameters.columns[:columns],
        rows=tuple(row[:columns] for row in model.parameters.rows),
        words=(0,),
    )
    yield from _tables("What the readings taught", (short,), width)
    yield from (Text(lesson, style="dim") for lesson in model.lessons)


def _tables(title: str, tables: tuple[Table, ...], width: int) -> Iterator[RenderableType]:
    """Yield tables under one heading; they share the explanation of u in brackets."""
    fitted = [_fitting(table, width) for table in tables]
    for place, (table, _) in enumerate(fitted):
        yield from _titled(title, _grid(table)) if place == 0 else ("", _grid(table))
    if any(concise for _, concise in fitted):
        yield Text("12.34(56) stands for 12.34 ± 0.56.", style="dim")


def _waterfall(drops: tuple[Drop, ...], width: int) -> RenderableType:
    """Return the bars of the waterfall, each where the one before it ended."""
    labels = max(len(drop.label) for drop in drops) + 2
    numbers_wide = max(len(drop.shown) for drop in drops) + 2
    room = max(min(width - labels - numbers_wide, MOST_BAR), LEAST_BAR)
    low = min(drop.content for drop in drops)
    high = max(drop.content for drop in drops)
    per_cell = (high - low) / (room - 1) if high > low else 1.0

    def cell(content: float) -> int:
        return round((content - low) / per_cell)

    grid = Grid.grid(padding=(0, 2, 0, 0))
    for drop in drops:
        end, start = cell(drop.content), cell(drop.content - drop.change)
        if drop.is_total:
            bar = Text(" " * end + "◆", style="bold")
        else:
            first, last = min(start, end), max(start, end)
            mark, colour = ("█", "cyan") if drop.change >= 0 else ("▒", "yellow")
            bar = Text(" " * first + mark * max(last - first, 1), style=colour)
        bold = "bold" if drop.is_total else ""
        grid.add_row(
            Text(drop.label, style=bold), Text(drop.shown, justify="right", style=bold), bar
        )
    return grid


def _titled(title: str, part: RenderableType) -> Iterator[RenderableType]:
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


def _bars(story: Story, width: int) -> RenderableType:
    grid = Grid.grid(padding=(0, 2, 0, 0))
    most = max(share.part for share in story.budget)
    words = max(len(share.source) for share in story.budget) + 2
    room = max(min(width - words - 7, MOST_BAR), LEAST_BAR)
    for share in story.budget:
        length = max(1, round(room * share.part / most))
        grid.add_row(
            Text(share.source), Text(share.text, justify="right"), Text("█" * length, style="cyan")
        )
    return grid
