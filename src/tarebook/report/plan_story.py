"""What a plan says, in words and rounded numbers, before anyone decides how it looks."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.findings.finding import Severity
from tarebook.planning.plan import Plan
from tarebook.planning.rules_gas import is_about_gas
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import axis_words
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import in_english
from tarebook.report.noticed import Said, message, say_all
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_tables import care_table, row_table, rows_note, run_table, variant_table
from tarebook.report.plan_words import (
    ROW_NAMES,
    at_words,
    both_at_words,
    equivalence_u,
    mL,
    row_words,
    two,
    two_or_more,
    wanted,
)

SMALL_GAIN = 0.005
"""An upgrade that buys less than half a per cent is not worth a line."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Bar:
    """One bar: its words, its length in [0, 1], its number as text."""

    source: str
    part: float
    text: str


@dataclass(frozen=True, slots=True, kw_only=True)
class PlanStory:
    """Everything a plan says, in the order in which it says it.

    Attributes
    ----------
    stopped_by_gas : bool
        The answer then stands above everything, on paper above the title too.
    answer : str
        The first line: whether the plan works.
    prospect : str
        How well content and equivalence point would be known.
    anew : str
        Empty unless the row is not the definition's.
    upgrades : tuple of Bar
        `part` is the relative fall of u.
    no_upgrade : str
        What to say where no upgrade is worth a line.
    """

    title: str
    equation: str
    invented: str
    made_on: str
    works: bool
    stopped_by_gas: bool
    answer: str
    prospect: str
    anew: str
    findings: tuple[Said, ...]
    rows: Table
    rows_note: str
    runs: Table
    vessel: str
    takes: str
    care: Table
    upgrades: tuple[Bar, ...]
    no_upgrade: str
    upgrades_title: str
    variants: Table
    method: str
    curve_alt: str
    rows_alt: str
    upgrades_alt: str


def tell_plan(outcome: PlanOutcome, style: NumberStyle = numbers.PRINT) -> PlanStory:
    """Return what there is to say about a plan.

    Parameters
    ----------
    outcome : PlanOutcome
    style : NumberStyle
        How the numbers are set.
    """
    plan = outcome.plan
    experiment = plan.experiment
    bars = _upgrades(plan, style)
    return PlanStory(
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        works=plan.works,
        stopped_by_gas=any(is_about_gas(finding) for finding in plan.findings),
        answer=_answer(plan, style),
        prospect=_prospect(plan, style),
        anew=_anew(plan, style),
        findings=say_all(plan.findings, in_english(style)),
        rows=row_table(plan, style),
        rows_note=rows_note(plan, style),
        runs=run_table(plan, style),
        vessel=_vessel(plan, style),
        takes=_takes(plan, style),
        care=care_table(plan, style),
        upgrades=bars,
        no_upgrade="" if bars else "No better instrument of the tables would change it.",
        upgrades_title=f"What a better instrument would take off the ± of {wanted(plan)}",
        variants=variant_table(plan, style),
        method=_method(outcome),
        curve_alt=_curve_alt(plan, style),
        rows_alt=_rows_alt(plan, style),
        upgrades_alt="; ".join(f"{bar.source}: {bar.text}" for bar in bars),
    )


def _answer(plan: Plan, style: NumberStyle) -> str:
    where = f"the equivalence point falls at {both_at_words(plan, style)}"
    if plan.between:
        where += f", between runs {typeset.listed(plan.between)}"
    if plan.works:
        if not plan.holds_for_all:
            return f"This plan works for a part of the contents only: {where}."
        watch = any(finding.severity is Severity.LOOK for finding in plan.findings)
        return f"This plan works{', with a caution' if watch else ''}: {where}."
    worst = plan.findings[0]
    first = message(worst, in_english(style))
    if is_about_gas(worst):
        return f"Stop before anything is poured. {first}"
    return f"This plan does not work. {first}"


def _prospect(plan: Plan, style: NumberStyle) -> str:
    row = plan.rows[0]
    u_content = numbers.with_unit(two(100.0 * row.u_content, style), "%", style)
    u, unit = equivalence_u(plan, row.u_equivalence)
    u_at = numbers.with_unit(two(u, style), unit, style)
    low, high = (numbers.fixed(100.0 * end, 0, style)
                 for end in (plan.contents.low, plan.contents.high))  # fmt: skip
    if not plan.works:
        return f"Planned for a content from {low} to {high}{style.gap}%."
    return (
        f"Expected: the content to ±{style.around}{u_content}, the equivalence point to "
        f"±{style.around}{u_at} (standard uncertainties), for any content from {low} to "
        f"{high}{style.gap}%."
    )


def _anew(plan: Plan, style: NumberStyle) -> str:
    if not plan.laid_out_anew:
        return ""
    experiment = plan.experiment
    strength = numbers.plain(experiment.reagent.concentration.value, 0.0, style)
    mass = numbers.plain(experiment.sample.nominal_mass, 0.0, style)
    return (
        f"Laid out anew for your wishes: {len(experiment.planned)} runs, "
        f"{strength}{style.gap}mol/L {experiment.reagent.name}, {mass}{style.gap}g of sample, "
        f"{mL(experiment.total_volume, style, 4)} in each vessel."
    )


def _vessel(plan: Plan, style: NumberStyle) -> str:
    experiment = plan.experiment
    foam = max(run.foam for run in plan.expected.runs)
    height = numbers.fixed(1000.0 * plan.expected.runs[0].fill_height, 0, style)
    whole = numbers.fixed(1000.0 * experiment.vessel.height, 0, style)
    free = experiment.vessel.capacity - experiment.total_volume
    return (
        f"In the {experiment.vessel.name} the liquid stands {height} of {whole}{style.gap}mm high; "
        f"{mL(free, style)} stay free. Foam of the first seconds: about {mL(foam, style, 2)} at "
        "most (rule of thumb, no source; try one cup first)."
    )


def _takes(plan: Plan, style: NumberStyle) -> str:
    used = plan.consumption
    mass = numbers.with_unit(two_or_more(used.sample, style), "g", style)
    return (
        f"The row takes {mL(used.stock, style)} of stock, {mL(used.diluent, style)} of "
        f"{plan.experiment.diluent} and {mass} of sample, margins not counted."
    )


def _upgrades(plan: Plan, style: NumberStyle) -> tuple[Bar, ...]:
    return tuple(
        Bar(
            source=in_english(style).say(upgrade.what),
            part=upgrade.gain,
            text=f"−{style.gap}{numbers.fixed(100.0 * upgrade.gain, 1, style)}{style.gap}%",
        )
        for upgrade in plan.upgrades
        if upgrade.gain >= SMALL_GAIN
    )


def _method(outcome: PlanOutcome) -> str:
    plan = outcome.plan
    date = f", {outcome.made_on}" if outcome.made_on else ""
    return (
        f"Tarebook {outcome.version}{date}. Expected information of the joint fit, averaged over "
        f"the contents planned for; bands from {plan.expected.n_draws} draws, seed {outcome.seed}; "
        f"definition {plan.experiment.digest[:12]}."
    )


def _curve_alt(plan: Plan, style: NumberStyle) -> str:
    most = max(run.lost.value for run in plan.expected.runs)
    runs = len(plan.expected.runs)
    words = axis_words(plan.experiment)
    axis = "the reagent in mL" if words.axis.grows == "reagent" else "the sample in g"
    return (
        f"Chart of the expected mass loss in g against {axis}, {runs} runs. It rises while the "
        f"{words.rising} limits, changes over at {at_words(plan, style)} and "
        f"{'falls again from' if words.falls else 'stays near'} "
        f"{numbers.fixed(most, 2, style)}{style.gap}g."
    )


def _rows_alt(plan: Plan, style: NumberStyle) -> str:
    said = "; ".join(f"{ROW_NAMES[row.name]}: {row_words(row.reagent, style)} mL"
                     for row in plan.rows)  # fmt: skip
    return f"Where the runs stand along the reagent volume. {said}."
