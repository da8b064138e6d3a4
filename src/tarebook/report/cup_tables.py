"""The cups of a row that is not finished, as tables in words."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from dataclasses import replace

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import Handover
from tarebook.records.readings import Quantity
from tarebook.reduction.poured.results import PouredCup
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.languages.words import Words
from tarebook.report.languages.writing import Writing
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.series.experiment import Experiment

NOTHING = "–"


def open_cups(outcome: Outcome, how: Writing) -> tuple[Table, ...]:
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
    coming = to_come_table(outcome, of_runs, how)
    return (*cups_tables(outcome, of_runs, how)[:1], *([coming] if coming else []))


def cups_tables(outcome: Outcome, handover: Handover, how: Writing) -> tuple[Table, ...]:
    """Return what is in each cup, and how its mass compares; none where nothing is in any."""
    cups = handover.poured.cups
    if not cups:
        return ()
    experiment, words, style = outcome.experiment, how.words, how.style
    formula = typeset.formula(experiment.reaction.reagent)
    inside = Table(
        caption=" ".join((words("handover.cups_note"), *_legend(cups, words))),
        columns=(words("handover.column_run"), f"{experiment.diluent}\nmL",
                 words("handover.column_solution", formula=formula), f"{formula}\nmmol",
                 words("handover.column_in_cup", formula=formula)),
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
        caption=words("handover.left_note"),
        columns=tuple(
            words(f"handover.column_{name}") for name in ("run", "by_volume", "by_mass", "left")
        ),
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


def _legend(cups: Iterable[PouredCup], words: Words) -> Iterator[str]:
    cups = tuple(cups)
    if any(cup.recovered and not cup.mass_is_doubtful for cup in cups):
        yield words("handover.note_from_mass")
    if any(cup.from_plan and not cup.mass_is_doubtful for cup in cups):
        yield words("handover.note_from_plan")
    if any(cup.mass_is_doubtful for cup in cups):
        yield words("handover.note_doubtful")


def plan_table(outcome: Outcome, handover: Handover, how: Writing) -> Table | None:
    """Return each cup beside its plan; None where nothing was poured."""
    if not handover.differences:
        return None
    experiment, words, style = outcome.experiment, how.words, how.style
    formula = typeset.formula(experiment.reaction.reagent)
    solution = words("handover.column_solution", formula=formula).partition("\n")[0]
    asked = {run.run: run for run in experiment.planned}

    def recovered(run: str, quantity: Quantity) -> str:
        cup = handover.poured.cup(run)
        return "*" if cup and quantity in cup.recovered else ""

    rows = tuple(
        (
            one.run,
            _volume(asked[one.run].diluent, style),
            _gap(one.diluent, style) + recovered(one.run, Quantity.DILUENT),
            _volume(asked[one.run].reagent, style),
            _gap(one.reagent, style) + recovered(one.run, Quantity.REAGENT),
            _matters(one.differs, one.changes_side, words),
        )
        for one in handover.differences
    )
    gap = words("handover.column_gap")
    return Table(
        caption=" ".join((words("handover.plan_note"), *_not_read(handover, words))),
        columns=(
            words("handover.column_run"),
            words("handover.column_asked", name=experiment.diluent),
            gap,
            words("handover.column_asked", name=solution),
            gap,
            words("handover.column_as_planned"),
        ),
        rows=rows,
        words=(0, 5),
    )


def _not_read(handover: Handover, words: Words) -> Iterator[str]:
    """Yield what the mark of a volume means that nobody read."""
    if any(cup.recovered for cup in handover.poured.cups):
        yield words("handover.note_gap_from_mass")


def _matters(differs: bool, changes_side: bool, words: Words) -> str:
    if not differs:
        return words("handover.as_planned")
    return words("handover.other_limits" if changes_side else "handover.differs")


def planned_table(outcome: Outcome, how: Writing) -> Table:
    """Return what is planned for each cup."""
    experiment, style = outcome.experiment, how.style
    return Table(
        caption=how.words(
            "handover.planned_note" if pours_diluent(experiment) else "handover.planned_note_alone",
            diluent=experiment.diluent,
            reagent=experiment.reagent.name,
        ),
        columns=(
            how.words("handover.column_run"),
            f"{experiment.diluent}\nmL",
            f"{experiment.reagent.name}\nmL",
            f"{experiment.sample.name}\ng",
        ),
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
    )


def pours_diluent(experiment: Experiment) -> bool:
    """Return whether any cup of the plan gets diluent."""
    return any(run.diluent > 0 for run in experiment.planned)


def to_come_table(outcome: Outcome, handover: Handover, how: Writing) -> Table | None:
    """Return what each open cup should lose and weigh at the end; None where nothing is known."""
    if not handover.to_come:
        return None
    experiment, words, style = outcome.experiment, how.words, how.style
    has_finals = any(one.final is not None for one in handover.to_come.values())
    rows = tuple(
        (
            run,
            portion(experiment, one.sample, style),
            _loss(one.lost, style),
            _ends(one.lost, how),
            *([_ends(one.final, how)] if has_finals else []),
        )
        for run, one in handover.to_come.items()
    )
    more = [words("handover.portion_note")] if has_finals else []
    shown = ("lose", "between", "final") if has_finals else ("lose", "between")
    return Table(
        caption=" ".join((_for_content(handover, how), *more, words("handover.ranges_note"))),
        columns=(
            words("handover.column_run"),
            f"{experiment.sample.name}\ng",
            *(words(f"handover.column_{name}") for name in shown),
        ),
        rows=rows,
        words=(0,),
    )


def _for_content(handover: Handover, how: Writing) -> str:
    low, high = (numbers.fixed(100.0 * end, 0, how.style) for end in handover.content)
    basis = "basis_claimed" if handover.content_is_claimed else "basis_open"
    return how.words(
        "handover.for_content", low=low, high=high, basis=how.words(f"handover.{basis}")
    )


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


def _ends(estimate: Estimate | None, how: Writing) -> str:
    if estimate is None:
        return NOTHING
    ends = numbers.interval(estimate, how.style, how.words("handover.to"))
    return ends.removesuffix(f"{how.style.gap}g")
