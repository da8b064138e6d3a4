"""What is handed on with a row that is not finished: gathered from fit, model, plan and checks."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np

from tarebook.core import defaults
from tarebook.core.errors import OutOfRangeError
from tarebook.diagnosis.handover import (
    Handover,
    Telling,
    found_row,
    plan_differences,
    sides_of,
)
from tarebook.diagnosis.handover_findings import findings_of_handover, judge, still_to_come
from tarebook.diagnosis.liquid import FEWEST_FOR_A_MEDIAN, LOOK_AT, compare_liquid
from tarebook.diagnosis.slips.robust import Handled
from tarebook.diagnosis.to_come import Belief, ToCome, to_come
from tarebook.findings.finding import Finding, most_severe_first
from tarebook.model.parameters import Parameters
from tarebook.model.priors import drawn_parameters
from tarebook.planning.changes import row_of
from tarebook.planning.contents import content_range
from tarebook.planning.information import expected_u
from tarebook.records.readings import RunTable
from tarebook.records.stage import RowStage, Stage
from tarebook.reduction.poured.liquids import reduce_poured
from tarebook.reduction.poured.results import PouredRow
from tarebook.series.experiment import Experiment

N_DRAWS = 200
"""Of the draws behind what is to be expected of a cup: the same readings give the same range."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handed:
    """A handover with all findings that stand at this stage, the most severe first."""

    handover: Handover
    findings: tuple[Finding, ...]


def hand_over(experiment: Experiment, table: RunTable, stage: RowStage, handled: Handled) -> Handed:
    """Return what is known of a row that is not finished.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    stage : RowStage
        Of the row.
    handled : Handled
        The findings of the readings, and what stands aside for them.
    """
    poured = _poured(experiment, table, handled)
    contents = content_range(experiment)
    found = found_row(experiment, table, poured)
    ends = (contents.low, contents.high)
    planned_sides, sides = sides_of(experiment, ends), sides_of(found, ends)
    telling = _telling(experiment, found) if poured.cups else None
    recovered = {(cup.run, q.value) for cup in poured.cups for q in cup.recovered}
    standing = [
        finding
        for finding in handled.findings
        if not still_to_come(stage, finding)
        and not (finding.code == "reading-missing" and (finding.run, finding.reading) in recovered)
    ]
    standing += findings_of_handover(poured, planned_sides, sides, telling)
    findings = most_severe_first(standing)
    fitness, reasons = judge(findings)
    return Handed(
        handover=Handover(
            poured=poured,
            to_come=_to_come(experiment, table, stage, poured, Belief(content=ends)),
            differences=plan_differences(experiment, table, poured, contents.centre),
            sides=sides,
            telling=telling,
            content=ends,
            content_is_claimed=contents.claimed,
            fitness=fitness,
            reasons=reasons,
        ),
        findings=findings,
    )


def known_draws(experiment: Experiment) -> Parameters:
    """Return draws of all that is not known before any reading; always the same."""
    rng = np.random.Generator(np.random.SFC64(defaults.SEED))
    return drawn_parameters(experiment, rng, N_DRAWS)


def _poured(experiment: Experiment, table: RunTable, handled: Handled) -> PouredRow:
    """Return what the liquids say, without masses that their volumes contradict."""
    unusable = handled.usual_aside.unusable
    check = compare_liquid(experiment, table)
    doubtful = set(handled.usual_aside.doubtful)
    if len(check.runs) >= FEWEST_FOR_A_MEDIAN:
        odd = zip(check.runs, check.odd, strict=True)
        doubtful |= {run for run, how_many in odd if abs(how_many) > LOOK_AT}
    return reduce_poured(experiment, table, unusable, doubtful)


def _telling(planned: Experiment, found: Experiment) -> Telling | None:
    """Return how well the content would be known; None where the model does not reach."""
    if planned.grows == "sample":
        return None
    contents = content_range(planned).scenarios
    try:
        as_planned, as_poured = (
            expected_u(planned, row_of(row), contents).content for row in (planned, found)
        )
    except OutOfRangeError:
        return None
    return Telling(planned=as_planned, poured=as_poured)


def _to_come(
    experiment: Experiment, table: RunTable, stage: RowStage, poured: PouredRow, belief: Belief
) -> dict[str, ToCome]:
    draws = known_draws(experiment)
    found = {}
    for run in _open(stage):
        cup = poured.cup(run)
        recovered = {q: value.value for q, value in cup.recovered.items()} if cup else {}
        rng = np.random.Generator(np.random.SFC64(defaults.SEED))
        try:
            one = to_come(experiment, table, run, belief, draws, rng, recovered=recovered)
        except OutOfRangeError:
            continue
        if one is not None:
            found[run] = one
    return found


def _open(stage: RowStage) -> Iterable[str]:
    return (run for run, reached in stage.runs.items() if reached is not Stage.FINISHED)
