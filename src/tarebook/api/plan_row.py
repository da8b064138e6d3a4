"""Plan the row of an experiment folder; the readings are not looked at."""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Literal, TypeAlias

import numpy as np

from tarebook.api.definition import read_definition
from tarebook.api.folder import OUT, write_all
from tarebook.core import defaults
from tarebook.core.errors import AskedFor, Fault, InputError
from tarebook.core.units import litres
from tarebook.core.version import VERSION
from tarebook.findings.finding import Finding
from tarebook.planning.plan import make_plan
from tarebook.planning.rows import Best
from tarebook.planning.wishes import Wishes
from tarebook.report.plan_outcome import PlanOutcome

if TYPE_CHECKING:
    from tarebook.report.printing import Paper

MOST_SEED = 2**64 - 1

BestFor: TypeAlias = Literal["content", "equivalence"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanFiles:
    """The files of a plan: each with what it is."""

    files: tuple[tuple[Path, str], ...]


def wishes(
    *,
    total_mL: float | None = None,  # noqa: N803  the unit is part of the name
    runs: int | None = None,
    sample_g: float | None = None,
    stock_mol_per_L: float | None = None,  # noqa: N803
    best: BestFor = "content",
) -> Wishes:
    """Return what a plan is to keep to, from numbers as people type them."""
    return Wishes(
        total_volume=None if total_mL is None else litres(total_mL),
        n_runs=runs,
        sample_mass=sample_g,
        stock=stock_mol_per_L,
        best=Best(best),
    )


def plan(
    folder: Path,
    wish: Wishes | None = None,
    *,
    seed: int = defaults.SEED,
    today: bool = True,
    progress: Callable[[str], None] = lambda _: None,
) -> PlanOutcome:
    """Plan the row of a folder.

    Parameters
    ----------
    folder : Path
        Only its definition is read.
    wish : Wishes, optional
        Amounts to keep to; without, the definition's own row is judged.
    seed : int
        Of the draws and of the search; the same seed gives the same digits.
    today : bool
        Whether to write today's date into the outcome.
    progress : callable of str
        Told the step that begins.

    Raises
    ------
    InputError
        If the definition cannot be read.
    ImpossibleWishError
        If a wish cannot be fulfilled, with the nearest that can.
    PlanBeyondModelError
        If the model cannot say anything about the row.
    """
    if not 0 <= seed <= MOST_SEED:
        raise InputError([Fault(where=AskedFor.SEED, found=str(seed), allowed=f"0 to {MOST_SEED}")])
    progress("reading the definition")
    experiment = read_definition(folder)
    rng = np.random.Generator(np.random.SFC64(seed))
    made = make_plan(experiment, wish or Wishes(), rng, progress)
    made_on = dt.datetime.now(dt.UTC).astimezone().date().isoformat() if today else ""
    return PlanOutcome(plan=made, seed=seed, version=VERSION, made_on=made_on)


def findings_of_plan(outcome: PlanOutcome) -> tuple[Finding, ...]:
    """Return what was found about a plan, the most severe first."""
    return outcome.plan.findings


def plan_as_text(outcome: PlanOutcome, *, colour: bool = False, width: int = 80) -> str:
    """Return a plan as lines for a terminal."""
    from tarebook.report.plan_text import plan_text

    return plan_text(outcome, colour=colour, width=width)


def write_plan(
    folder: Path,
    outcome: PlanOutcome,
    *,
    paper: Paper = "a4",
    progress: Callable[[str], None] = lambda _: None,
) -> PlanFiles:
    """Write the page and the charts of a plan into the folder's `out`.

    Parameters
    ----------
    folder : Path
    outcome : PlanOutcome
    paper : {"a4", "letter"}
    progress : callable of str
        Told the step that begins.

    Raises
    ------
    CannotWriteError
        If a file cannot be written; what was there before is untouched.
    """
    from tarebook.report import plan_charts
    from tarebook.report.drawing import png, svg
    from tarebook.report.languages.writing import course_writing
    from tarebook.report.plan_document import plan_document
    from tarebook.report.plan_story import tell_plan

    progress("drawing the charts")
    made = outcome.plan
    how = course_writing(made.experiment, paper)
    charts = {
        "plan-curve": (
            plan_charts.plan_curve(made, how=how),
            "mass loss to expect against reagent",
        ),
        "plan-rows": (plan_charts.rows_chart(made, how=how), "where the runs stand, row by row"),
        "plan-upgrades": (
            plan_charts.upgrades_chart(
                tell_plan(outcome, how).upgrades, width=420, style=how.style
            ),
            "what better instruments buy",
        ),
    }
    progress("setting the page")
    files = {"plan.pdf": (plan_document(outcome, paper=paper), "the plan on one page")}
    for name, (spec, what) in charts.items():
        if spec is not None:
            files[f"{name}.svg"] = (svg(spec).encode(), what)
            files[f"{name}.png"] = (png(spec), what)
    progress("writing")
    places = write_all(folder / OUT, {name: data for name, (data, _) in files.items()})
    return PlanFiles(files=tuple((place, files[place.name][1]) for place in places))
