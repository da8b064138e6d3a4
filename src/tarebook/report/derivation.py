"""How each number was made: the sum step by step, with the numbers of this experiment."""

from __future__ import annotations

from dataclasses import replace

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.records.readings import Quantity
from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.results import RunAmounts
from tarebook.report import numbers, typeset
from tarebook.report.derivation_lines import (
    MORE_ON_THE_WAY,
    Step,
    line_steps,
    of_run,
    shown_in,
    step,
    strength_of,
)
from tarebook.report.languages.writing import Writing
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import run_results


def derivation(outcome: Outcome, how: Writing) -> tuple[Step, ...]:
    """Return the steps from the readings to the content; fewer where the series has no result."""
    example = _example(outcome)
    steps: list[Step] = []
    if example is not None:
        steps += [_amount(outcome, example, how), _mass_lost(outcome, example, how)]
    if outcome.usual.series is not None:
        steps += line_steps(outcome, outcome.usual.series, how)
    if example is not None and example.gas_expected is not None:
        steps.append(_limiting(outcome, example, example.gas_expected, how))
    steps.append(_uncertainty(outcome, how))
    return tuple(steps)


def model_steps(outcome: Outcome, series: FullSeries, how: Writing) -> tuple[Step, ...]:
    """Return the steps of the joint fit, with the numbers of this experiment."""
    made = _gas_made(outcome, how)
    fit = step(
        "fit",
        how,
        n=sum(len(run.residuals) for run in outcome.full.runs),
        runs=len(outcome.full.runs),
        chi2=numbers.fixed(series.chi2, 1, how.style),
        content=series.sample_mass_fraction,
    )
    chance = step("chance", how, title=how("report.title_runs"))
    return (*([made] if made else []), fit, chance)


def _gas_made(outcome: Outcome, how: Writing) -> Step | None:
    """Return the way from the mass lost to the gas made, for one run."""
    whole = [result for result in run_results(outcome) if result.rest is not None]
    rising = [result for result in whole if result.limiting == "reagent"] or whole
    if not rising:
        return None
    result = rising[len(rising) // 2]
    full, lost, rest = result.full, result.lost, result.rest
    if full is None or full.gas_full is None or lost is None or rest is None:
        return None
    decimals = numbers.places(full.gas_full.value, full.gas_full.u) + MORE_ON_THE_WAY
    style = how.style

    def shown(value: float) -> str:
        return numbers.fixed(value, decimals, style)

    last = f"+ {shown(rest)}" if rest >= 0 else f"{style.minus} {shown(-rest)}"
    worked = (
        f"({shown(lost.value)} + {shown(full.dissolved)} + {shown(full.head_gas)} {style.minus} "
        f"{shown(full.vapour)} {style.minus} {shown(full.evaporated)} {last}){style.gap}g = "
        f"{how.quantity(full.gas_full)}"
    )
    return of_run("made", result.run, worked, how)


def _example(outcome: Outcome) -> RunAmounts | None:
    """Return the run that is worked out: used by the lines, reagent limiting, well poured."""
    whole = [run for run in outcome.usual.runs if run.yield_percent and not run.not_in_fit]
    whole = whole or [run for run in outcome.usual.runs if run.yield_percent]
    whole = whole or [run for run in outcome.usual.runs if run.limiting is None]
    rising = [run for run in whole if run.limiting == "reagent"] or whole
    return rising[len(rising) // 2] if rising else None


def _read(outcome: Outcome, run: RunAmounts, what: Quantity, how: Writing) -> str:
    """Return a reading as it was written down, or the mean of its repeats, in bench units."""
    found = outcome.table.of(run.run, what)
    if len(found) == 1:
        return found[0].typed.replace(".", how.style.decimal)
    mean = sum(reading.value for reading in found) / len(found)
    return numbers.plain(mean if what.is_mass else millilitres(mean), 0.0, how.style)


def _amount(outcome: Outcome, run: RunAmounts, how: Writing) -> Step:
    species = typeset.formula(outcome.experiment.reaction.reagent)
    poured = numbers.with_unit(_read(outcome, run, Quantity.REAGENT, how), "mL", how.style)
    worked = f"{strength_of(outcome, how)} × {poured} = {how.quantity(run.reagent)}"
    return of_run("amount", run.run, worked, how, species=species)


def _mass_lost(outcome: Outcome, run: RunAmounts, how: Writing) -> Step:
    filled, sample, final = (
        _read(outcome, run, what, how)
        for what in (Quantity.LIQUID, Quantity.SAMPLE, Quantity.FINAL)
    )
    lost = f"({filled} + {sample} {how.style.minus} {final}){how.style.gap}g"
    return of_run("lost", run.run, f"{lost} = {how.quantity(run.gas_found)}", how)


def _limiting(outcome: Outcome, run: RunAmounts, expected: Estimate, how: Writing) -> Step:
    reaction = outcome.experiment.reaction
    reagent, analyte, gas = (
        typeset.formula(text) for text in (reaction.reagent, reaction.analyte, reaction.gas)
    )
    first, second = (
        _divided(name, amount, count, how)
        for name, amount, count in (
            (reagent, run.reagent, reaction.reagent_coefficient),
            (analyte, run.sample, reaction.analyte_coefficient),
        )
    )
    made = step(
        "limiting",
        how,
        gas=gas,
        first=first,
        second=second,
        smaller=reagent if run.limiting == "reagent" else analyte,
        expected=expected,
        **{
            "yield": how.quantity(run.yield_percent)
            if run.yield_percent
            else how("derivation.no_yield")
        },
    )
    return replace(made, worked=how("derivation.of_run", run=run.run, worked=made.worked))


def _divided(name: str, amount: Estimate, count: int, how: Writing) -> str:
    """Return an amount, divided by its number in the equation."""
    shown = f"{name} {how.quantity(amount)}"
    if count == 1:
        return shown
    return f"{shown} / {count} = {shown_in(1000 * amount.value / count, 'mmol', how)}"


def _uncertainty(outcome: Outcome, how: Writing) -> Step:
    return step("uncertainty", how, draws=outcome.usual.draws, seed=outcome.usual.seed)
