"""The runs and their readings as tables in words."""

from __future__ import annotations

from tarebook.core.quantity import Estimate
from tarebook.records.readings import NEEDED, PAIRS, Origin, Quantity, Reading, RunTable
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.languages.words import Words
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import RunResult, run_results


def runs_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return what the textbook calculation says of each run, in the order of the readings."""
    reagent, analyte, gas = _species(outcome)
    rows: dict[str, tuple[str, ...]] = {
        run.run: (
            run.run + ("*" if run.not_in_fit else ""),
            _cell(run.reagent, style),
            _cell(run.sample, style),
            run.limiting or "–",
            _chance_of_limiting(run, style),
            _cell(run.gas_found, style),
            _cell(run.gas_expected, style),
            _cell(run.yield_percent, style) if run.yield_percent else "–",
        )
        for run in outcome.usual.runs
    }
    for left in outcome.usual.left_out:
        rows[left.run] = (f"{left.run}*", "–", "–", "left out", "–", "–", "–", "–")
    return Table(
        caption=f"Amounts of the {_content_words(outcome)} Every ± is one u.",
        columns=("run", f"{reagent}\nmmol", f"{analyte}\nmmol", "limits", "chance\n%",
                 f"{gas} found\ng", f"{gas} expected\ng", "yield\n%"),
        rows=tuple(rows[run] for run in outcome.table.runs),
        words=(0, 3),
    )  # fmt: skip


def amounts_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return the amounts that the model finds in each run, and what limits there."""
    reagent, analyte, _ = _species(outcome)
    with_ph = any(run.ph is not None for run in outcome.full.runs)
    rows = []
    for result in run_results(outcome):
        full = result.full
        ph = _pure(full.ph, style) if full else "–"
        p = result.p_of_limiting
        rows.append(
            (
                _marked(result),
                _cell(result.reagent, style),
                _cell(result.sample, style),
                result.limiting or "left out",
                "–" if p is None else _chance(p, style),
                *([ph] if with_ph else []),
            )
        )
    return Table(
        caption="Amounts by the model, the acid of the sample counted with the reagent where it "
        "says what limits. Every ± is one u.",
        columns=("run", f"{reagent}\nmmol", f"{analyte}\nmmol", "limits", "chance\n%",
                 *(["pH"] if with_ph else [])),
        rows=tuple(rows),
        words=(0, 3),
    )  # fmt: skip


def gas_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return the way from the mass lost to the gas made, and what was expected."""
    _, _, gas = _species(outcome)
    rows = []
    for result in run_results(outcome):
        full = result.full
        made = full.gas_full if full else None
        rows.append(
            (
                _marked(result),
                _cell(result.lost, style),
                _cell(full.retained if full else None, style),
                _cell(made, style),
                _cell(result.gas_expected, style),
                _cell(result.yield_percent, style),
            )
        )
    return Table(
        caption=f"{gas} held back is still dissolved or lies in the vessel. Made = lost + held "
        "back, less vapour and evaporation, with buoyancy and the balance's error; the yield is "
        f"the mass lost over the {gas} expected: what the textbook calculation would see. Every ± "
        "is one u.",
        columns=("run", "mass lost\ng", "held back\ng", f"{gas} made\ng",
                 f"{gas} expected\ng", "yield\n%"),
        rows=tuple(rows),
        words=(0,),
    )  # fmt: skip


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


def _content_words(outcome: Outcome) -> str:
    by_slope = "runs, with the content that the slope of the rising line says."
    by_level = (
        "runs, with the content found, so that the yield on the plateau is 100\u00a0% on average."
    )
    return {
        "found": by_slope if outcome.usual.axis.grows == "sample" else by_level,
        "claimed": "runs, with the content that the label claims.",
        "pure": "runs, as if the sample were pure.",
    }[outcome.usual.content_basis]


def _cell(estimate: Estimate | None, style: NumberStyle) -> str:
    if estimate is None:
        return "–"
    out = numbers.outward(estimate)
    return numbers.plus_minus(out.value, out.u, style)


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


def _as_read(table: RunTable, reading: Reading, style: NumberStyle) -> str:
    """Return a reading as it was written down; a difference with its two readings beside it."""
    typed = reading.typed
    if reading.origin is Origin.DIFFERENCE:
        first, second = (table.of(reading.run, p) for p in PAIRS[reading.quantity].in_order)
        typed += f" ({first[0].typed}\u00a0→\u00a0{second[0].typed})"
    if reading.times > 1:
        typed += f" (the middle of {reading.times} readings)"
    return typed.replace(".", style.decimal)


def readings_table(outcome: Outcome, style: NumberStyle, words: Words) -> Table:
    """Return the readings as they were written down; repeats stand side by side in one cell."""
    table, experiment = outcome.table, outcome.experiment
    optional = (Quantity.PIECES, Quantity.TEMPERATURE, Quantity.MINUTES)
    shown = [*NEEDED, *(what for what in optional if table.taken(what).any())]
    named = {Quantity.REAGENT: experiment.reagent.name, Quantity.DILUENT: experiment.diluent}
    heads = {what: named.get(what) or words(f"tables.{what.value}") for what in shown}
    rows = tuple(
        (
            run,
            *(
                "; ".join(_as_read(table, r, style) for r in table.of(run, what)) or "–"
                for what in shown
            ),
        )
        for run in table.runs
    )
    return Table(
        caption=words("tables.readings_note"),
        columns=(words("tables.run"), *(f"{heads[what]}\n{what.unit}" for what in shown)),
        rows=rows,
        words=(0,),
    )
