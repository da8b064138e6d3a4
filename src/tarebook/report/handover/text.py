"""A row that is not finished, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tarebook.diagnosis.handover import Handover
from tarebook.report import numbers
from tarebook.report.equipment import Table
from tarebook.report.handover.story import HandoverStory, tell_handover
from tarebook.report.languages.writing import in_english
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.terminal import facts_grid, findings_grid, printed, tables, titled


def handover_text(
    outcome: Outcome,
    handover: Handover,
    *,
    width: int = 80,
    colour: bool = False,
    style: NumberStyle = numbers.TERMINAL,
) -> str:
    """Return the row as lines for a terminal: how far it has come, the cups, what to do next.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
    width : int
        Columns of the terminal.
    colour : bool
    style : NumberStyle
    """
    return printed(
        _parts(tell_handover(outcome, handover, in_english(style)), width), width, colour
    )


_COLOURS = {"fit": "bold green", "fit with remarks": "bold yellow", "not fit": "bold red"}


def _parts(story: HandoverStory, width: int) -> Iterator[RenderableType]:
    if story.invented:
        yield Text(story.invented, style="bold magenta")
    yield Text(story.title, style="bold")
    yield Text(story.equation)
    yield ""
    yield Text(story.stage, style="bold")
    if story.verdict:
        yield Text(story.verdict, style=_COLOURS[story.fitness])
    if story.alarm:
        yield Text(story.alarm, style="bold red")
    yield Text(story.answer)
    yield from _table("Planned", story.planned, width)
    if story.cups:
        yield from tables("In each cup", story.cups, width)
        yield from (Text(table.caption, style="dim") for table in story.cups)
    yield from _table("What each cup should lose, and weigh at the end", story.to_come, width)
    yield from _table("Beside the plan", story.beside_plan, width)
    if story.facts:
        yield from titled("The row", facts_grid(story.facts))
    yield ""
    yield Text("Findings", style="bold underline")
    yield from findings_grid(story.findings)
    yield ""
    yield Text("Next", style="bold underline")
    yield from (Text(f"- {step}") for step in story.next_steps)
    if story.missing:
        yield Text(story.missing, style="dim")
    yield ""
    if story.cups:
        yield Text(story.about_u, style="dim")
    yield Text(story.method, style="dim")


def _table(title: str, table: Table | None, width: int) -> Iterator[RenderableType]:
    if table is not None:
        yield from tables(title, (table,), width)
        yield Text(table.caption, style="dim")
