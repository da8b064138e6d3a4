"""The runs and their readings as tables in words."""

from __future__ import annotations

from tarebook.core.quantity import Estimate
from tarebook.records.readings import NEEDED, PAIRS, Origin, Quantity, Reading, RunTable
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import Writing
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import RunResult, run_results


def runs_table(outcome: Outcome, how: Writing) -> Table:
    """Return what the textbook calculation says of each run, in the order of the readings."""
    reagent, analyte, gas = _species(outcome)
    style = how.style
    rows: dict[str, tuple[str, ...]] = {
        run.run: (
            run.run + ("*" if run.not_in_fit else ""),
            _cell(run.reagent, how),
            _cell(run.sample, how),
            how("charts.reactant", what=run.limiting) if run.limiting else "–",
            _chance_of_limiting(run, style),
            _cell(run.gas_found, how),
            _cell(run.gas_expected, how),
            _cell(run.yield_percent, how) if run.yield_percent else "–",
        )
        for run in outcome.usual.runs
    }
    for left in outcome.usual.left_out:
        rows[left.run] = (f"{left.run}*", "–", "–", how("report.left_out"), "–", "–", "–", "–")
    basis: str = outcome.usual.content_basis
    if basis == "found":
        basis = "slope" if outcome.usual.axis.grows == "sample" else "level"
    return Table(
        caption=how("report.runs_note", basis=basis),
        columns=(
            *_first_columns(reagent, analyte, how),
            f"{how('report.column_found', gas=gas)}\ng",
            f"{how('report.column_expected', gas=gas)}\ng",
            f"{how('report.column_yield')}\n%",
        ),
        rows=tuple(rows[run] for run in outcome.table.runs),
        words=(0, 3),
    )


def _first_columns(reagent: str, analyte: str, how: Writing) -> tuple[str, ...]:
    return (
        how("tables.run"),
        f"{reagent}\nmmol",
        f"{analyte}\nmmol",
        how("report.column_limits"),
        f"{how('report.column_chance')}\n%",
    )


def amounts_table(outcome: Outcome, how: Writing) -> Table:
    """Return the amounts that the model finds in each run, and what limits there."""
    reagent, analyte, _ = _species(outcome)
    with_ph = any(run.ph is not None for run in outcome.full.runs)
    rows = []
    for result in run_results(outcome):
        full, p = result.full, result.p_of_limiting
        limiting = result.limiting
        rows.append(
            (
                _marked(result),
                _cell(result.reagent, how),
                _cell(result.sample, how),
                how("charts.reactant", what=limiting) if limiting else how("report.left_out"),
                "–" if p is None else _chance(p, how.style),
                *([_pure(full.ph, how.style) if full else "–"] if with_ph else []),
            )
        )
    return Table(
        caption=how("report.amounts_note"),
        columns=(*_first_columns(reagent, analyte, how), *(["pH"] if with_ph else [])),
        rows=tuple(rows),
        words=(0, 3),
    )


def gas_table(outcome: Outcome, how: Writing) -> Table:
    """Return the way from the mass lost to the gas made, and what was expected."""
    _, _, gas = _species(outcome)
    rows = []
    for result in run_results(outcome):
        full = result.full
        rows.append(
            (
                _marked(result),
                _cell(result.lost, how),
                _cell(full.retained if full else None, how),
                _cell(full.gas_full if full else None, how),
                _cell(result.gas_expected, how),
                _cell(result.yield_percent, how),
            )
        )
    return Table(
        caption=how("report.gas_note", gas=gas),
        columns=(
            how("tables.run"),
            *(
                f"{how(f'report.column_{name}', gas=gas)}\ng"
                for name in ("lost", "held", "made", "expected")
            ),
            f"{how('report.column_yield')}\n%",
        ),
        rows=tuple(rows),
        words=(0,),
    )


def _species(outcome: Outcome) -> tuple[str, str, str]:
    reaction = outcome.experiment.reaction
    return (
        typeset.formula(reaction.reagent),
        typeset.formula(reaction.analyte),
        typeset.formula(reaction.gas),
    )


def _marked(result: RunResult) -> str:
    odd = result.full is None or result.usual is None or result.usual.not_in_fit
    return result.run + ("*" if odd else "")


def _cell(estimate: Estimate | None, how: Writing) -> str:
    if estimate is None:
        return "–"
    out = numbers.outward(estimate)
    return numbers.plus_minus(out.value, out.u, how.style)


def _pure(estimate: Estimate | None, style: NumberStyle) -> str:
    """Return a number that has no unit and is no share, such as a pH."""
    return "–" if estimate is None else numbers.plus_minus(estimate.value, estimate.u, style)


def _chance(p: float, style: NumberStyle) -> str:
    return numbers.probability(p, style).replace(f"{style.gap}%", "")


def _chance_of_limiting(run: RunAmounts, style: NumberStyle) -> str:
    p = run.p_reagent_limiting
    if p is None:
        return "–"
    return _chance(p if run.limiting == "reagent" else 1.0 - p, style)


def _as_read(table: RunTable, reading: Reading, how: Writing) -> str:
    """Return a reading as it was written down; a difference with its two readings beside it."""
    typed = reading.typed
    if reading.origin is Origin.DIFFERENCE:
        first, second = (table.of(reading.run, p) for p in PAIRS[reading.quantity].in_order)
        typed += f" ({first[0].typed}\u00a0→\u00a0{second[0].typed})"
    typed = typed.replace(".", how.style.decimal)
    if reading.times > 1:
        return how("report.middle_of", typed=typed, times=reading.times)
    return typed


def readings_table(outcome: Outcome, how: Writing) -> Table:
    """Return the readings as they were written down; repeats stand side by side in one cell."""
    table, experiment = outcome.table, outcome.experiment
    optional = (Quantity.PIECES, Quantity.TEMPERATURE, Quantity.MINUTES)
    shown = [*NEEDED, *(what for what in optional if table.taken(what).any())]
    named = {Quantity.REAGENT: experiment.reagent.name, Quantity.DILUENT: experiment.diluent}
    heads = {what: named.get(what) or how(f"tables.{what.value}") for what in shown}
    rows = tuple(
        (
            run,
            *(
                "; ".join(_as_read(table, r, how) for r in table.of(run, what)) or "–"
                for what in shown
            ),
        )
        for run in table.runs
    )
    return Table(
        caption=how("tables.readings_note"),
        columns=(how("tables.run"), *(f"{heads[what]}\n{what.unit}" for what in shown)),
        rows=rows,
        words=(0,),
    )
