"""What a notebook shows of a result: the answer, its chart, its tables, what was noticed."""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from tarebook.diagnosis.handover import Handover
from tarebook.report import charts, drawing, plan_charts
from tarebook.report.equipment import Table
from tarebook.report.handover.story import tell_handover
from tarebook.report.languages.writing import course_writing
from tarebook.report.noticed import Said
from tarebook.report.outcome import Outcome
from tarebook.report.page import part_of_page
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_story import tell_plan
from tarebook.report.story import tell

WIDE = 620
"""Width of the chart's plot, [px]."""


@dataclass(frozen=True, slots=True, kw_only=True)
class _Chart:
    drawing: Markup
    alt: str
    key: str


@dataclass(frozen=True, slots=True, kw_only=True)
class _Cell:
    """What a cell says, in its order; `tables` with what stands over each."""

    title: str
    equation: str
    invented: str
    answer: str
    lines: tuple[str, ...]
    warning: str
    chart: _Chart | None
    tables: tuple[tuple[str, Table], ...]
    notes: tuple[str, ...]
    findings: tuple[Said, ...]
    method: str
    found: str = "What was noticed"
    language: str = "en"


def cell(result: Outcome | PlanOutcome) -> str:
    """Return a result as HTML for a cell of a notebook.

    Parameters
    ----------
    result : Outcome or PlanOutcome

    Returns
    -------
    str
        One element with its own style; it runs no script and fetches nothing.
    """
    if isinstance(result, PlanOutcome):
        told = _of_plan(result)
    elif result.handover is not None and not result.stage.has_results:
        told = _of_cups(result, result.handover)
    else:
        told = _of_results(result)
    return part_of_page("cell.html", "cell.css", story=told)


def _drawn(spec: drawing.Spec | None, alt: str, key: str) -> _Chart | None:
    if spec is None:
        return None
    # vl-convert escapes every text in its SVG.
    made = Markup(drawing.svg(spec, adaptive=True))  # noqa: S704
    return _Chart(drawing=made, alt=alt, key=key)


def _of_results(outcome: Outcome) -> _Cell:
    how = course_writing(outcome.experiment)
    story = tell(outcome, how)
    said = (
        story.said["interval"] if story.headline else "",
        story.claim,
        story.model.usual if story.model else "",
        story.second_way,
        story.caveat,
    )
    return _Cell(
        title=story.title,
        equation=story.equation,
        invented=story.invented,
        answer=story.answer,
        lines=tuple(filter(None, said)),
        warning=story.warning,
        chart=_drawn(
            charts.curve(outcome, width=WIDE, how=how),
            story.curve_alt,
            f"{charts.curve_key(outcome, how)} {story.about_u}",
        ),
        tables=(
            *((story.said["runs"], data) for data in story.runs),
            *((story.said["open"], data) for data in story.open_cups),
        ),
        notes=(*(f"* {line}" for line in story.not_used), *story.next_steps),
        findings=story.findings,
        method=story.method,
        found=story.said["noticed"],
        language=story.language,
    )


def _of_cups(outcome: Outcome, handover: Handover) -> _Cell:
    """Return what is known of cups of which none is finished, in the language of the course."""
    how = course_writing(outcome.experiment)
    story = tell_handover(outcome, handover, how)
    tables = (
        ("planned", story.planned),
        *(("cups", data) for data in story.cups),
        ("to_come", story.to_come),
    )
    return _Cell(
        title=story.title,
        equation=story.equation,
        invented=story.invented,
        answer=story.verdict or story.answer,
        lines=(*((story.answer,) if story.verdict else ()), *story.why),
        warning=story.alarm,
        chart=None,
        tables=tuple((story.said[name], data) for name, data in tables if data is not None),
        notes=tuple(filter(None, (*story.next_steps, story.missing))),
        findings=story.findings,
        method=story.method,
        found=story.said["noticed"],
        language=story.language,
    )


def _of_plan(outcome: PlanOutcome) -> _Cell:
    story = tell_plan(outcome)
    plan = outcome.plan
    return _Cell(
        title=story.title,
        equation=story.equation,
        invented=story.invented,
        answer=story.answer,
        lines=tuple(filter(None, (story.prospect, story.anew))),
        warning="",
        chart=_drawn(
            plan_charts.plan_curve(plan, width=WIDE),
            story.curve_alt,
            plan_charts.plan_key(plan),
        ),
        tables=((story.said["rows"], story.rows), (story.said["runs"], story.runs)),
        notes=tuple(filter(None, (story.rows_note, story.vessel, story.takes))),
        findings=story.findings,
        method=story.method,
        found=story.said["noticed"],
        language=story.language,
    )
