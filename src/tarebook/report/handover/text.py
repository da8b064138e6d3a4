"""A row that is not finished, on a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from rich.console import RenderableType
from rich.text import Text

from tarebook.diagnosis.handover import Handover
from tarebook.report.equipment import Table
from tarebook.report.handover.story import HandoverStory, tell_handover
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.outcome import Outcome
from tarebook.report.terminal import facts_grid, findings_grid, printed, tables, titled
from tarebook.report.text import on_terminal


def handover_text(
    outcome: Outcome,
    handover: Handover,
    *,
    width: int = 80,
    colour: bool = False,
    how: Writing | None = None,
) -> str:
    """Return the row as lines for a terminal: how far it has come, the cups, what to do next.

    Parameters
    ----------
    outcome : Outcome
    handover : Handover
    width : int
        Columns of the terminal.
    colour : bool
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    how = on_terminal(how or course_writing(outcome.experiment))
    return printed(_parts(tell_handover(outcome, handover, how), width, how), width, colour)


_COLOURS = {"fit": "bold green", "fit with remarks": "bold yellow", "not fit": "bold red"}


def _parts(story: HandoverStory, width: int, how: Writing) -> Iterator[RenderableType]:
    said = story.said
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
    yield from _table(said["planned"], story.planned, width, how)
    if story.cups:
        yield from tables(said["cups"], story.cups, width, how)
        yield from (Text(table.caption, style="dim") for table in story.cups)
    yield from _table(said["to_come"], story.to_come, width, how)
    yield from _table(said["beside_plan"], story.beside_plan, width, how)
    if story.facts:
        yield from titled(how("report.title_row"), facts_grid(story.facts))
    yield ""
    yield Text(said["noticed"], style="bold underline")
    yield from findings_grid(story.findings, how)
    yield ""
    yield Text(said["next"], style="bold underline")
    yield from (Text(f"- {step}") for step in story.next_steps)
    if story.missing:
        yield Text(story.missing, style="dim")
    yield ""
    if story.cups:
        yield Text(story.about_u, style="dim")
    yield Text(story.method, style="dim")


def _table(title: str, table: Table | None, width: int, how: Writing) -> Iterator[RenderableType]:
    if table is not None:
        yield from tables(title, (table,), width, how)
        yield Text(table.caption, style="dim")
