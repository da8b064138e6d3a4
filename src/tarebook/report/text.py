"""The result on a terminal: the answer first, then what it rests on."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from rich.console import RenderableType
from rich.table import Table as Grid
from rich.text import Text

from tarebook.findings.finding import Finding
from tarebook.report import numbers
from tarebook.report.languages.writing import ENGLISH, Writing, course_writing
from tarebook.report.model_story import ModelStory
from tarebook.report.model_words import Drop
from tarebook.report.noticed import say_all
from tarebook.report.outcome import Outcome
from tarebook.report.story import Story, tell
from tarebook.report.terminal import facts_grid, findings_grid, printed, tables, titled

LEAST_BAR, MOST_BAR = 8, 36
"""Length of the longest bar in characters: on a narrow terminal, and on any other."""


def on_terminal(how: Writing) -> Writing:
    """Return how things are written where every character has the same width."""
    return replace(how, style=numbers.TERMINAL.with_decimal(how.style.decimal))


def text(
    outcome: Outcome, *, width: int = 80, colour: bool = False, how: Writing | None = None
) -> str:
    """Return the result as lines for a terminal: the answer, the runs, then what it rests on.

    Parameters
    ----------
    outcome : Outcome
    width : int
        Columns of the terminal; from 72 on nothing is cut.
    colour : bool
        Whether to colour by escape sequences; without, words say the same.
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    how = on_terminal(how or course_writing(outcome.experiment))
    return printed(_parts(tell(outcome, how), width, how), width, colour)


def summary(outcome: Outcome, *, width: int = 80, how: Writing | None = None) -> str:
    """Return the beginning of `text`: the answer, where it comes from, the runs."""
    how = on_terminal(how or course_writing(outcome.experiment))
    return printed(_answer(tell(outcome, how), width, how), width)


def findings_text(
    findings: Iterable[Finding],
    *,
    width: int = 80,
    colour: bool = False,
    how: Writing = ENGLISH,
) -> str:
    """Return findings alone, as `text` shows them."""
    how = on_terminal(how)
    return printed(findings_grid(say_all(findings, how), how), width, colour)


def _answer(story: Story, width: int, how: Writing) -> Iterator[RenderableType]:
    if story.invented:
        yield Text(story.invented, style="bold magenta")
    yield Text(story.title, style="bold")
    yield Text(story.equation)
    yield ""
    yield Text(story.answer, style="bold green" if story.headline else "bold yellow")
    if story.headline:
        yield Text(story.said["interval"])
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
        yield from titled(story.said["waterfall"], _waterfall(story.model.waterfall, width))
    yield from tables(story.said["runs"], story.runs, width, how)
    yield from (Text(f"* {line}") for line in story.not_used)


def _parts(story: Story, width: int, how: Writing) -> Iterator[RenderableType]:
    said = story.said
    yield from _answer(story, width, how)
    if story.open_cups:
        yield from tables(said["open"], story.open_cups, width, how)
    if story.next_steps:
        yield ""
        yield Text(said["next"], style="bold underline")
        yield from (Text(f"- {step}") for step in story.next_steps)
    if story.facts:
        title = said["beside" if story.model else "equivalence"]
        yield from titled(title, facts_grid(story.facts))
    yield ""
    yield Text(said["noticed"], style="bold underline")
    yield from findings_grid(story.findings, how)
    if story.model:
        yield from _model(story.model, story, width, how)
    if story.budget:
        yield from titled(said["budget"], _bars(story, width))
    yield ""
    yield Text(story.about_u, style="dim")
    yield Text(story.method, style="dim")


def _model(model: ModelStory, story: Story, width: int, how: Writing) -> Iterator[RenderableType]:
    """Yield what the model is, how well it fits and what the readings taught it."""
    said = story.said
    yield from titled(said["model"], Text(model.about, style="dim"))
    yield Text(model.fit)
    if model.interval:
        yield Text(model.interval)
    if model.residuals:
        yield from tables(said["worst"], (model.residuals,), width, how)
    # Where the first values are from stands in the report; here there is no room for it.
    columns = len(model.parameters.columns) - 1
    short = replace(
        model.parameters,
        columns=model.parameters.columns[:columns],
        rows=tuple(row[:columns] for row in model.parameters.rows),
        words=(0,),
    )
    yield from tables(said["taught"], (short,), width, how)
    yield from (Text(lesson, style="dim") for lesson in model.lessons)


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
