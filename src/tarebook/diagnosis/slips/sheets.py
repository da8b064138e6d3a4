"""Two groups' sheets exchanged: what each wrote fits the other's plan.

It can be seen only where the groups have plans of their own: volumes and masses asked for.
Two groups with the same plan and the same sample have exchanged nothing that shows.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Iterator, Mapping
from typing import Final

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.findings import Finding, Severity
from tarebook.diagnosis.slips.cups import DILUENT, REAGENT, SAMPLE, Cups, cups_of
from tarebook.diagnosis.slips.habits import habits_of
from tarebook.diagnosis.slips.kinds import LOOK_FROM, SlipKind
from tarebook.diagnosis.slips.odds import SlipOdds, default_odds
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import RunTable
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.series.experiment import Experiment

PLANNED: Final = (REAGENT, DILUENT, SAMPLE)


def sheets_exchanged(
    groups: Mapping[str, tuple[Experiment, RunTable]], odds: SlipOdds | None = None
) -> tuple[Finding, ...]:
    """Return the pairs of groups whose sheets are probably exchanged.

    Parameters
    ----------
    groups : mapping of the group's name to its definition and its readings
    odds : SlipOdds, optional
        A course's own; else those of the table that ships.

    Returns
    -------
    tuple of Finding
        Of severity look, for the whole series: `evidence` names the two groups.
    """
    return tuple(_exchanged(groups, odds or default_odds()))


def _exchanged(
    groups: Mapping[str, tuple[Experiment, RunTable]], odds: SlipOdds
) -> Iterator[Finding]:
    names = [name for name, (_, table) in groups.items() if table.readings]
    pairs = list(itertools.combinations(names, 2))
    own = {name: _log_fit(*groups[name]) for name in names}
    for first, second in pairs:
        (plan, table), (other_plan, other_table) = groups[first], groups[second]
        if plan.planned == other_plan.planned and plan.sample == other_plan.sample:
            continue
        crossed = _log_fit(plan, other_table) + _log_fit(other_plan, table)
        rate = odds.rate(SlipKind.RUNS_EXCHANGED) / len(pairs)
        log_odds = math.log(rate) + crossed - own[first] - own[second]
        probability = 1.0 / (1.0 + math.exp(-max(min(log_odds, 700.0), -700.0)))
        if probability > LOOK_FROM:
            yield Finding(
                code="sheets-exchanged",
                severity=Severity.LOOK,
                message=f"The readings of {first} fit the plan of {second} and the other way "
                "round, as if the two sheets were exchanged.",
                do="Look at the names on the two sheets and who filled them in; if they are "
                "exchanged, enter each under its own group.",
                evidence={"probability": probability, "groups": f"{first}, {second}"},
            )


def _log_fit(experiment: Experiment, table: RunTable) -> float:
    """Return how well volumes and sample masses keep to a plan, as a log density."""
    runs = tuple(run for run in table.runs if any(table.of(run, q) for q in READ))
    cups: Cups = cups_of(joint_problem(experiment, table, runs, ALL_EFFECTS))
    habits = habits_of(experiment, runs, cups)
    total = 0.0
    for row in PLANNED:
        taken = cups.taken[row]
        values: FloatArray = cups.observed[row]
        for run in range(cups.n):
            if taken[run]:
                total += float(habits.log_density(row, run, values[run]))
    return total
