"""The plan as its page shows it: a curve at once, the whole a moment later."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, Final

import numpy as np

from tarebook.api.bench.workspace import Workspace
from tarebook.api.plan_row import plan, wishes
from tarebook.core import defaults
from tarebook.core.errors import Fault, InputError, OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.core.units import millilitres
from tarebook.planning.contents import content_range
from tarebook.planning.expected import Expected, expect
from tarebook.planning.feasible import beyond, granted
from tarebook.planning.refusals import (
    Amount,
    ImpossibleWishError,
    PlanBeyondModelError,
    Wished,
)
from tarebook.planning.wishes import Wishes
from tarebook.report.axis_words import axis_words
from tarebook.report.languages.writing import Writing
from tarebook.report.payload import Json
from tarebook.report.refusal_words import UNITS, number_typed, refusal_in_words
from tarebook.series.experiment import Experiment

if TYPE_CHECKING:
    from tarebook.report.plan_story import PlanStory

BEST: Final = ("content", "equivalence")
SPAN = (0.4, 2.5)
"""A slider goes from and to this multiple of what the definition has."""

RUNS = (4, 16)
MOST_RUNS = 40
"""Runs that may be wished for in the page; the command line takes more."""

NO_LABELS: Final[Mapping[str, str]] = {}
"""A fault then names the field."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Wish:
    """One slider.

    Attributes
    ----------
    of : Wished
    name : str
        Of the field, with its unit.
    label, unit : str
    usual : str
        What the definition has.
    low, high, step : float
        Of the slider.
    """

    of: Wished
    name: str
    label: str
    unit: str
    usual: str
    low: float
    high: float
    step: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Planned:
    """A plan, as its page shows it."""

    story: PlanStory
    curve_wide: str
    curve_narrow: str


def sliders(workspace: Workspace, how: Writing) -> tuple[Wish, ...]:
    """Return what can be wished for, each with its label.

    Parameters
    ----------
    workspace : Workspace
    how : Writing
    """
    experiment = workspace.experiment
    total = millilitres(experiment.total_volume)
    return (
        _slider(Wished.TOTAL_VOLUME, "total_mL", how.say(Phrase("app-plan-total_mL")), total),
        Wish(
            of=Wished.N_RUNS,
            name="runs",
            label=how.say(Phrase("app-plan-runs")),
            unit=UNITS[Wished.N_RUNS],
            usual=str(len(experiment.planned)),
            low=RUNS[0],
            high=max(RUNS[1], len(experiment.planned)),
            step=1,
        ),
        _slider(
            Wished.SAMPLE_MASS,
            "sample_g",
            how.say(Phrase("app-plan-sample_g")),
            experiment.sample.nominal_mass,
        ),
        _slider(
            Wished.STOCK,
            "stock_mol_per_L",
            how.say(Phrase.of("app-plan-stock_mol_per_L", reagent=experiment.reagent.name)),
            experiment.reagent.concentration.value,
        ),
    )


def _slider(of: Wished, name: str, label: str, usual: float) -> Wish:
    step = 10.0 ** (np.floor(np.log10(usual)) - 1)
    low, high = (round(usual * end / step) * step for end in SPAN)
    digits = max(0, -int(np.floor(np.log10(step))))
    return Wish(
        of=of,
        name=name,
        label=label,
        unit=UNITS[of],
        usual=f"{usual:.4g}",
        low=round(low, digits),
        high=round(high, digits),
        step=round(step, digits),
    )


def wishes_of(given: Mapping[str, str], labels: Mapping[str, str] = NO_LABELS) -> Wishes:
    """Return the wishes of a form; a field that is blank or lacks is no wish.

    Raises
    ------
    InputError
        With every field that is no number, or a number nobody can pour.
    """
    faults: list[Fault] = []
    numbers: dict[str, float] = {}
    for name in ("total_mL", "runs", "sample_g", "stock_mol_per_L"):
        typed = given.get(name, "").strip().replace(",", ".")
        if not typed:
            continue
        try:
            number = float(typed)
        except ValueError:
            number = float("nan")
        if not 0 < number < 1e6:
            called, allowed = labels.get(name, name), "a number above 0"
            faults.append(Fault(where=called, found=repr(typed[:20]), allowed=allowed))
        numbers[name] = number
    runs = numbers.get("runs")
    if runs is not None and not faults and (runs != int(runs) or runs > MOST_RUNS):
        allowed = f"a whole number up to {MOST_RUNS}"
        faults.append(Fault(where=labels.get("runs", "runs"), found=f"{runs:g}", allowed=allowed))
    best = given.get("best", BEST[0])
    if best not in BEST:
        faults.append(
            Fault(where=labels.get("best", "best"), found=repr(best[:20]), allowed=", ".join(BEST))
        )
    if faults:
        raise InputError(faults)
    return wishes(
        total_mL=numbers.get("total_mL"),
        runs=None if runs is None else int(runs),
        sample_g=numbers.get("sample_g"),
        stock_mol_per_L=numbers.get("stock_mol_per_L"),
        best="equivalence" if best == "equivalence" else "content",
    )


def refused_on_page(
    workspace: Workspace, error: ImpossibleWishError | PlanBeyondModelError, how: Writing
) -> str:
    """Return why a row is not possible and what is, each wish by the label of its slider.

    Parameters
    ----------
    workspace : Workspace
    error : ImpossibleWishError or PlanBeyondModelError
    how : Writing
    """
    labelled = {wish.of: wish for wish in sliders(workspace, how)}

    def called(amount: Amount) -> str:
        wish = labelled[amount.of]
        return f"“{wish.label}” {number_typed(amount)} {wish.unit}".rstrip()

    return refusal_in_words(error, called)


def plan_curve(experiment: Experiment, wish: Wishes) -> Json:
    """Return the curve to expect of a row; fast enough to follow a slider.

    Raises
    ------
    ImpossibleWishError
        If a wish cannot be fulfilled, with the nearest that can.
    PlanBeyondModelError
        If the model cannot say anything about the row.
    """
    wished = granted(experiment, wish)
    words = axis_words(wished)
    rng = np.random.Generator(np.random.SFC64(defaults.SEED))
    try:
        found = expect(wished, content_range(wished), rng)
    except OutOfRangeError as error:
        # To look for the nearest that works would take longer than a slider waits.
        raise PlanBeyondModelError(beyond(error)) from error
    return {
        "axis": axis_payload(wished),
        "curve": curve_points(wished, found),
        "runs": [
            {
                "run": run.run,
                "along": words.place(words.grown(run.reagent, wished.sample_asked(run.run))),
                "reagent_mL": millilitres(run.reagent),
                "diluent_mL": millilitres(run.diluent),
                "lost_g": run.lost.value,
                "low_g": run.lost.low,
                "high_g": run.lost.high,
                "p_reagent_limiting": run.p_reagent_limiting,
            }
            for run in found.runs
        ],
        "equivalence": equivalence_along(wished, found),
    }


def axis_payload(experiment: Experiment) -> Json:
    """Return what a row is drawn along, and what limits on the rise and beyond it, in words."""
    words = axis_words(experiment)
    return {
        "title": words.title,
        "unit": words.unit,
        "grows": words.axis.grows,
        "rising": words.rising,
        "beyond": words.beyond,
        "acid": words.acid,
    }


def equivalence_along(experiment: Experiment, found: Expected) -> Json | None:
    """Return where both reactants are expected to be used up, on the axis of the row, if at all."""
    words = axis_words(experiment)
    at = found.equivalence if words.axis.grows == "reagent" else found.equivalence_sample
    if at is None:
        return None
    ends = {"value": at.value, "low": at.low, "high": at.high}
    return {name: words.place(value) for name, value in ends.items()}


def curve_points(experiment: Experiment, found: Expected) -> list[Json]:
    """Return an expected curve as plain numbers, along what grows."""
    words = axis_words(experiment)
    return [
        {
            "along": words.place(words.grown(point.reagent, point.sample)),
            "lost_g": point.lost,
            "low_g": point.low,
            "high_g": point.high,
        }
        for point in found.curve
    ]


def plan_for_page(folder: Path, wish: Wishes) -> Planned:
    """Plan a row in full for its page; runs in the background process.

    Raises
    ------
    ImpossibleWishError, PlanBeyondModelError
        As `plan_curve`.
    """
    from tarebook.report import plan_charts
    from tarebook.report.drawing import svg
    from tarebook.report.page import NARROW, WIDE
    from tarebook.report.plan_story import tell_plan

    outcome = plan(folder, wish, today=False)
    wide = plan_charts.plan_curve(outcome.plan, width=WIDE)
    narrow = plan_charts.plan_curve(outcome.plan, width=NARROW)
    return Planned(
        story=tell_plan(outcome),
        curve_wide=svg(wide, adaptive=True, prefix="plan-w"),
        curve_narrow=svg(narrow, adaptive=True, prefix="plan-n"),
    )
