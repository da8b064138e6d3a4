"""Whether a row of filled cups is fit for the next step, and what speaks against it."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace
from enum import StrEnum

import numpy as np

from tarebook.core.arrays import FloatArray
from tarebook.diagnosis.bench import pour
from tarebook.diagnosis.to_come import ToCome
from tarebook.findings.finding import Severity
from tarebook.model.contents import planned_portions
from tarebook.model.contents import pour as contents_of
from tarebook.model.cup import cup_state
from tarebook.model.effects import CupEffect
from tarebook.model.priors import central_parameters
from tarebook.records.readings import VOLUMES, Quantity, RunTable
from tarebook.reduction.poured.results import PouredCup, PouredRow
from tarebook.series.experiment import Experiment, PlannedRun

ON_EACH_SIDE = 2
"""Cups that a row needs on either side of the equivalence point, whatever the content."""

OF_AMOUNTS = frozenset({CupEffect.OWN_ACID})
"""What counts where only the amounts are compared."""


class Fitness(StrEnum):
    """Whether the next step may begin."""

    FIT = "fit"
    FIT_WITH_REMARKS = "fit with remarks"
    NOT_FIT = "not fit"


@dataclass(frozen=True, slots=True, kw_only=True)
class Reason:
    """What keeps a row from being plainly fit: the code of a finding, and its cups."""

    code: str
    severity: Severity
    runs: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanDifference:
    """A cup beside what was planned for it.

    Attributes
    ----------
    run : str
    reagent, diluent : float or None, [L]
        Read, or recovered from the mass, less asked for; None where neither is known.
    differs : bool
        Whether a portion lies farther off than a pour usually does.
    changes_side : bool
        Whether another reactant limits than was planned, at the content in the middle.
    """

    run: str
    reagent: float | None
    diluent: float | None
    differs: bool
    changes_side: bool


@dataclass(frozen=True, slots=True, kw_only=True)
class Sides:
    """Cups on either side of the equivalence point, whatever the content in its range."""

    before: int
    after: int

    @property
    def are_enough(self) -> bool:
        """Whether there are enough on both sides."""
        return min(self.before, self.after) >= ON_EACH_SIDE


@dataclass(frozen=True, slots=True, kw_only=True)
class Telling:
    """How well a row would determine the content, as planned and as poured, [g/g]."""

    planned: float
    poured: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Handover:
    """All that is handed on with a row of cups that is not finished.

    Attributes
    ----------
    poured : PouredRow
        Without cups where nothing was poured yet.
    to_come : mapping of str to ToCome
        By run, for the cups that are not finished and of which the model can say it.
    differences : tuple of PlanDifference
        Of the cups that hold liquid and were planned.
    sides : Sides
        As poured so far (the plan stands in for the cups that are still empty).
    telling : Telling or None
        None where it cannot be said.
    content : tuple of (float, float), [g/g]
        The contents that all this is for, all between equally likely.
    content_is_claimed : bool
        Whether they surround what is claimed for the sample.
    fitness : Fitness
        For the step that comes next.
    reasons : tuple of Reason
        Empty where the row is plainly fit.
    """

    poured: PouredRow
    to_come: Mapping[str, ToCome]
    differences: tuple[PlanDifference, ...]
    sides: Sides
    telling: Telling | None
    content: tuple[float, float]
    content_is_claimed: bool
    fitness: Fitness
    reasons: tuple[Reason, ...]

    def difference(self, run: str) -> PlanDifference | None:
        """Return how a cup differs from its plan; None where nothing is known of it."""
        return next((one for one in self.differences if one.run == run), None)


def found_volume(table: RunTable, cup: PouredCup, quantity: Quantity) -> float | None:
    """Return a volume as read, else as it follows from the mass; None where neither is known."""
    read = table.mean_of(cup.run, quantity)
    if read is not None:
        return read
    recovered = cup.recovered.get(quantity)
    return recovered.value if recovered else None


def found_row(experiment: Experiment, table: RunTable, poured: PouredRow) -> Experiment:
    """Return the experiment with the row as it was poured; what is not known stays as planned."""
    runs = []
    for planned in experiment.planned:
        cup = poured.cup(planned.run)
        found = [found_volume(table, cup, q) if cup else None for q in VOLUMES]
        volumes = [
            asked if value is None else max(value, 0.0)
            for asked, value in zip((planned.reagent, planned.diluent), found, strict=True)
        ]
        sample = table.mean_of(planned.run, Quantity.SAMPLE)
        runs.append(
            PlannedRun(
                run=planned.run,
                reagent=volumes[0],
                diluent=volumes[1],
                sample=planned.sample if sample is None or sample <= 0 else sample,
            )
        )
    return replace(experiment, planned=tuple(runs))


def excess(experiment: Experiment, contents: Iterable[float]) -> FloatArray:
    """Return the excess of acid over analyte in each planned cup, shape (contents, n), [mol].

    Parameters
    ----------
    experiment : Experiment
    contents : iterable of float, [g/g]
    """
    planned = experiment.planned
    middle = central_parameters(experiment)
    middle = middle.with_values(content=np.array(list(contents))[:, None])
    reagent, diluent = np.array([[run.reagent, run.diluent] for run in planned]).T
    sample = np.array([run.sample for run in planned])
    cups = contents_of(planned_portions(experiment, reagent, sample, diluent), middle)
    found: FloatArray = cup_state(experiment, middle, cups, OF_AMOUNTS).excess
    return found


def sides_of(experiment: Experiment, content: tuple[float, float]) -> Sides:
    """Return how many cups lie on either side of the equivalence point, whatever the content.

    Parameters
    ----------
    experiment : Experiment
        Its planned row is the one that is looked at; cups without sample and
        closed vessels, which show no gas, do not count.
    content : tuple of (float, float), [g/g]
    """
    filled = np.array(
        [not (run.is_blank or experiment.is_sealed(run.run)) for run in experiment.planned]
    )
    low, high = excess(experiment, content)
    return Sides(
        before=int(np.count_nonzero((low < 0) & filled)),
        after=int(np.count_nonzero((high > 0) & filled)),
    )


def plan_differences(
    experiment: Experiment, table: RunTable, poured: PouredRow, content: float
) -> tuple[PlanDifference, ...]:
    """Return how each cup that holds liquid differs from its plan.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    poured : PouredRow
    content : float, [g/g]
        At which it is told which reactant limits.
    """
    found = found_row(experiment, table, poured)
    changed = np.sign(excess(experiment, [content])[0]) != np.sign(excess(found, [content])[0])
    equipment = experiment.equipment
    differences = []
    for at, planned in enumerate(experiment.planned):
        cup = poured.cup(planned.run)
        if cup is None:
            continue
        gaps: list[float | None] = []
        odd = False
        for quantity, asked, instrument in (
            (Quantity.REAGENT, planned.reagent, equipment.reagent),
            (Quantity.DILUENT, planned.diluent, equipment.diluent),
        ):
            value = found_volume(table, cup, quantity)
            gaps.append(None if value is None else value - asked)
            odd |= value is not None and not pour(instrument, asked).holds(value)
        differences.append(
            PlanDifference(
                run=planned.run,
                reagent=gaps[0],
                diluent=gaps[1],
                differs=odd,
                changes_side=bool(changed[at]) and odd and not planned.is_blank,
            )
        )
    return tuple(differences)
