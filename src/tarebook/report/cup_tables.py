"""The cups of a row that is not finished, as tables in words."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import Handover
from tarebook.reduction.poured.results import PouredCup
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.series.experiment import Experiment

NOTHING = "–"


def open_cups(outcome: Outcome, style: NumberStyle) -> tuple[Table, ...]:
    """Return what is in the cups that were begun, and what to expect of them.

    None where every cup that was begun is finished.
    """
    handover, runs = outcome.handover, outcome.stage.in_work
    if handover is None or not runs:
        return ()
    of_runs = replace(
        handover,
        poured=replace(
            handover.poured, cups=tuple(cup for cup in handover.poured.cups if cup.run in runs)
        ),
        to_come={run: one for run, one in handover.to_come.items() if run in runs},
    )
    coming = to_come_table(outcome, of_runs, style)
    return (*cups_tables(outcome, of_runs, style)[:1], *([coming] if coming else []))


def cups_tables(outcome: Outcome, handover: Handover, style: NumberStyle) -> tuple[Table, ...]:
    """Return what is in each cup, and how its mass compares; none where nothing is in any."""
    cups = handover.poured.cups
    if not cups:
        return ()
    experiment = outcome.experiment
    formula = typeset.formula(experiment.reaction.reagent)
    inside = Table(
        caption=f"What was read less what stayed behind. Every ± is one u.{_legend(cups)}",
        columns=("run", f"{experiment.diluent}\nmL", f"{formula} solution\nmL", f"{formula}\nmmol",
                 f"{formula} in the cup\nmol/L"),
        rows=tuple(
            (
                cup.run + _mark(cup),
                _cell(cup.diluent, style),
                _cell(cup.reagent, style),
                _cell(cup.amount, style),
                _cell(cup.concentration, style),
            )
            for cup in cups
        ),
        words=(0,),
    )  # fmt: skip
    weighed = Table(
        caption="Left behind: liquid by its two volumes, as they were read, less liquid weighed. "
        "Its ± holds the errors of this cup's own readings.",
        columns=("run", "liquid by volume\ng", "liquid weighed\ng", "left behind\ng"),
        rows=tuple(
            (
                cup.run + _mark(cup),
                _cell(cup.by_volume, style),
                _cell(cup.by_mass, style),
                _cell(cup.left_behind, style),
            )
            for cup in cups
        ),
        words=(0,),
    )
    return inside, weighed


def _mark(cup: PouredCup) -> str:
    if cup.mass_is_doubtful:
        return "†"
    return "*" if cup.recovered or cup.from_plan else ""


def _legend(cups: Iterable[PouredCup]) -> str:
    cups = tuple(cups)
    said = ""
    if any(cup.recovered and not cup.mass_is_doubtful for cup in cups):
        said += " * A volume was not read and follows from the mass."
    if any(cup.from_plan and not cup.mass_is_doubtful for cup in cups):
        said += " * A volume was not read and the plan stands in for it."
    if any(cup.mass_is_doubtful for cup in cups):
        said += " † Mass and volumes contradict one another: the volumes are taken as read."
    return said


def plan_table(outcome: Outcome, handover: Handover, style: NumberStyle) -> Table | None:
    """Return each cup beside its plan; None where nothing was poured."""
    if not handover.differences:
        return None
    experiment = outcome.experiment
    formula = typeset.formula(experiment.reaction.reagent)
    asked = {run.run: run for run in experiment.planned}
    rows = tuple(
        (
            one.run,
            _volume(asked[one.run].diluent, style),
            _gap(one.diluent, style),
            _volume(asked[one.run].reagent, style),
            _gap(one.reagent, style),
            _matters(one.differs, one.changes_side),
        )
        for one in handover.differences
    )
    return Table(
        caption="More than asked for is positive. Whether it matters: whether another reactant "
        "would limit than was planned.",
        columns=("run", f"{experiment.diluent}\nmL asked", "read − asked\nmL",
                 f"{formula} solution\nmL asked", "read − asked\nmL", "as planned?"),
        rows=rows,
        words=(0, 5),
    )  # fmt: skip


def _matters(differs: bool, changes_side: bool) -> str:
    if not differs:
        return "as planned"
    return "another reactant limits" if changes_side else "differs; does not matter"


def planned_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return what is planned for each cup."""
    experiment = outcome.experiment
    return Table(
        caption=f"Pour the {experiment.diluent} first, then the {experiment.reagent.name}. Write "
        "down what was read, not what was asked for.",
        columns=("run", f"{experiment.diluent}\nmL", f"{experiment.reagent.name}\nmL",
                 f"{experiment.sample.name}\ng"),
        rows=tuple(
            (
                run.run,
                _volume(run.diluent, style),
                _volume(run.reagent, style),
                portion(experiment, run.sample, style),
            )
            for run in experiment.planned
        ),
        words=(0,),
    )  # fmt: skip


def to_come_table(outcome: Outcome, handover: Handover, style: NumberStyle) -> Table | None:
    """Return what each open cup should lose and weigh at the end; None where nothing is known."""
    if not handover.to_come:
        return None
    experiment = outcome.experiment
    has_finals = any(one.final is not None for one in handover.to_come.values())
    rows = tuple(
        (
            run,
            portion(experiment, one.sample, style),
            _loss(one.lost, style),
            _ends(one.lost, style),
            *([_ends(one.final, style)] if has_finals else []),
        )
        for run, one in handover.to_come.items()
    )
    more = " Where a portion weighs more or less than this, the cup weighs that much more or less "
    return Table(
        caption=f"{_for_content(handover, style)}{more if has_finals else ''}"
        f"{'at the end.' if has_finals else ''} Ranges are 95\u00a0%.",
        columns=("run", f"{experiment.sample.name}\ng", "will lose\ng", "between\ng",
                 *(["will weigh at the end\ng"] if has_finals else [])),
        rows=rows,
        words=(0,),
    )  # fmt: skip


def _for_content(handover: Handover, style: NumberStyle) -> str:
    low, high = (numbers.fixed(100.0 * end, 0, style) for end in handover.content)
    basis = "about what is claimed" if handover.content_is_claimed else "since nothing is claimed"
    return f"For a content of {low} to {high}{style.gap}% ({basis})."


def portion(experiment: Experiment, mass: float, style: NumberStyle) -> str:
    """Return a portion with the decimals of its balance."""
    return _decimal(mass, experiment.equipment.sample_balance.readability, style)


def _decimal(value: float, step: float, style: NumberStyle) -> str:
    decimals = 3 if step < 0.01 else 2 if step < 0.1 else 1
    return numbers.fixed(value, decimals, style)


def _cell(estimate: Estimate | None, style: NumberStyle) -> str:
    if estimate is None:
        return NOTHING
    out = numbers.outward(estimate)
    return numbers.plus_minus(out.value, out.u, style)


def _volume(litres: float, style: NumberStyle) -> str:
    return numbers.plain(round(millilitres(litres), 6), 0.0, style)


def _gap(litres: float | None, style: NumberStyle) -> str:
    if litres is None:
        return NOTHING
    shown = numbers.fixed(millilitres(litres), 2, style)
    return f"+{shown}" if litres > 5e-6 else shown


def _loss(estimate: Estimate, style: NumberStyle) -> str:
    return numbers.plain(estimate.value, estimate.u, style)


def _ends(estimate: Estimate | None, style: NumberStyle) -> str:
    return (
        NOTHING
        if estimate is None
        else numbers.interval(estimate, style).removesuffix(f"{style.gap}g")
    )
