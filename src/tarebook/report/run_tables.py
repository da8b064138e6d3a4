"""The runs and their readings as tables in words, and why some runs are not used."""

from __future__ import annotations

from collections.abc import Iterable

from tarebook.core.quantity import Estimate
from tarebook.records.readings import NEEDED, Quantity
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome


def runs_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return the amounts of each run, in the order of the readings."""
    reaction = outcome.experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    rows: dict[str, tuple[str, ...]] = {
        run.run: (
            run.run + ("*" if run.not_in_fit else ""),
            _cell(run.reagent, style),
            _cell(run.sample, style),
            run.limiting,
            numbers.probability(_p_of_limiting(run), style).replace(f"{style.gap}%", ""),
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


def _content_words(outcome: Outcome) -> str:
    return {
        "found": "runs, with the content found, so that the yield on the plateau is 100\u00a0% on "
        "average.",
        "claimed": "runs, with the content that the label claims.",
        "pure": "runs, as if the sample were pure.",
    }[outcome.usual.content_basis]


def _cell(estimate: Estimate, style: NumberStyle) -> str:
    out = numbers.outward(estimate)
    return numbers.plus_minus(out.value, out.u, style)


def _p_of_limiting(run: RunAmounts) -> float:
    return run.p_reagent_limiting if run.limiting == "reagent" else 1.0 - run.p_reagent_limiting


def readings_table(outcome: Outcome, style: NumberStyle) -> Table:
    """Return the readings as they were written down; repeats stand side by side in one cell."""
    table, experiment = outcome.table, outcome.experiment
    optional = (Quantity.TEMPERATURE, Quantity.MINUTES)
    shown = [*NEEDED, *(what for what in optional if table.taken(what).any())]
    heads = {
        Quantity.TARE: "empty vessel",
        Quantity.REAGENT: experiment.reagent.name,
        Quantity.DILUENT: experiment.diluent,
        Quantity.LIQUID: "with liquid",
        Quantity.SAMPLE: "sample",
        Quantity.FINAL: "at the end",
        Quantity.TEMPERATURE: "temperature",
        Quantity.MINUTES: "waited",
    }
    rows = tuple(
        (
            run,
            *(
                "; ".join(r.typed.replace(".", style.decimal) for r in table.of(run, what)) or "–"
                for what in shown
            ),
        )
        for run in table.runs
    )
    return Table(
        caption="Readings as they were written down; how exact each is stands under Instruments.",
        columns=("run", *(f"{heads[what]}\n{what.unit}" for what in shown)),
        rows=rows,
        words=(0,),
    )


def not_used(outcome: Outcome) -> Iterable[tuple[str, str]]:
    """Yield each run that the result does not use, and a sentence that says why."""
    for left in outcome.usual.left_out:
        yield left.run, f"Run {left.run} is left out: {_in_words(left.run, left.why)}."
    said = {(finding.run, finding.code): finding.message for finding in outcome.findings}
    for run in outcome.usual.runs:
        if run.not_in_fit:
            why = said.get((run.run, run.not_in_fit), run.not_in_fit)
            yield (
                run.run,
                f"The two lines do not use run {run.run}: {_in_words(run.run, why)}.",
            )


def _in_words(run: str, why: str) -> str:
    """Return a reason as the end of a sentence that has named the run."""
    why = why.removeprefix(f"Run {run}: ")
    if why[1:2].islower():
        why = why[0].lower() + why[1:]
    return why.rstrip(".")
