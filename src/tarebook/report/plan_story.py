"""What a plan says, in words and rounded numbers, before anyone decides how it looks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from tarebook.findings.finding import Severity
from tarebook.planning.plan import Plan
from tarebook.planning.rules_gas import is_about_gas
from tarebook.report import numbers, typeset
from tarebook.report.axis_words import axis_words
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import Writing, course_writing
from tarebook.report.noticed import Said, message, say_all
from tarebook.report.plan_outcome import PlanOutcome
from tarebook.report.plan_tables import care_table, row_table, rows_note, run_table, variant_table
from tarebook.report.plan_words import (
    at_words,
    both_at_words,
    equivalence_u,
    mL,
    row_name,
    row_words,
    two,
    two_or_more,
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
    language : str
        Such as ``"en"``.
    said : mapping of str to str
        What stands over the parts, and the like.
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

    language: str
    said: Mapping[str, str]
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


TITLES: Final = ("plan", "rows", "vessel", "runs", "care", "what_if")


def tell_plan(outcome: PlanOutcome, how: Writing | None = None) -> PlanStory:
    """Return what there is to say about a plan.

    Parameters
    ----------
    outcome : PlanOutcome
    how : Writing, optional
        Language and numbers; those of the course without it.
    """
    plan = outcome.plan
    experiment = plan.experiment
    how = how or course_writing(experiment)
    bars = _upgrades(plan, how)
    return PlanStory(
        language=how.words.language,
        said=_said(how),
        title=experiment.title,
        equation=typeset.equation(experiment.reaction.equation),
        invented=experiment.invented,
        made_on=outcome.made_on,
        works=plan.works,
        stopped_by_gas=any(is_about_gas(finding) for finding in plan.findings),
        answer=_answer(plan, how),
        prospect=_prospect(plan, how),
        anew=_anew(plan, how),
        findings=say_all(plan.findings, how),
        rows=row_table(plan, how),
        rows_note=rows_note(plan, how),
        runs=run_table(plan, how),
        vessel=_vessel(plan, how),
        takes=_takes(plan, how),
        care=care_table(plan, how),
        upgrades=bars,
        no_upgrade="" if bars else how("plan_report.no_upgrade"),
        upgrades_title=how("plan_report.upgrades", best=plan.wishes.best),
        variants=variant_table(plan, how),
        method=_method(outcome, how),
        curve_alt=_curve_alt(plan, how),
        rows_alt=_rows_alt(plan, how),
        upgrades_alt="; ".join(f"{bar.source}: {bar.text}" for bar in bars),
    )


def _said(how: Writing) -> dict[str, str]:
    said = {name: how(f"plan_report.title_{name}") for name in TITLES}
    said |= {name: how(f"handover.{name}") for name in ("noticed", "invented")}
    said |= {"page": how("sheet.page"), "of": how("sheet.of")}
    said["check"] = how("plan_report.check")
    return said


def _answer(plan: Plan, how: Writing) -> str:
    if not plan.works:
        worst = plan.findings[0]
        key = "plan_report.stop" if is_about_gas(worst) else "plan_report.fails"
        return how(key, why=message(worst, how))
    watch = any(finding.severity is Severity.LOOK for finding in plan.findings)
    whole = "caution" if watch else "plain"
    return how(
        "plan_report.answer",
        how=whole if plan.holds_for_all else "part",
        at=both_at_words(plan, how),
        n=len(plan.between),
        between=tuple(plan.between),
    )


def _prospect(plan: Plan, how: Writing) -> str:
    row, style = plan.rows[0], how.style
    low, high = (numbers.fixed(100.0 * end, 0, style)
                 for end in (plan.contents.low, plan.contents.high))  # fmt: skip
    ends = {"low": low, "high": numbers.with_unit(high, "%", style)}
    if not plan.works:
        return how("plan_report.planned_for", **ends)
    u_content = numbers.with_unit(two(100.0 * row.u_content, style), "%", style)
    u, unit = equivalence_u(plan, row.u_equivalence)
    u_at = numbers.with_unit(two(u, style), unit, style)
    return how(
        "plan_report.expected",
        content=f"{style.around}{u_content}",
        at=f"{style.around}{u_at}",
        **ends,
    )


def _anew(plan: Plan, how: Writing) -> str:
    if not plan.laid_out_anew:
        return ""
    experiment, style = plan.experiment, how.style
    strength = numbers.plain(experiment.reagent.concentration.value, 0.0, style)
    mass = numbers.plain(experiment.sample.nominal_mass, 0.0, style)
    return how(
        "plan_report.anew",
        runs=len(experiment.planned),
        strength=numbers.with_unit(strength, "mol/L", style),
        reagent=experiment.reagent.name,
        mass=numbers.with_unit(mass, "g", style),
        total=mL(experiment.total_volume, style, 4),
    )


def _vessel(plan: Plan, how: Writing) -> str:
    experiment, style = plan.experiment, how.style
    foam = max(run.foam for run in plan.expected.runs)
    whole = numbers.fixed(1000.0 * experiment.vessel.height, 0, style)
    return how(
        "plan_report.vessel",
        vessel=experiment.vessel.name,
        height=numbers.fixed(1000.0 * plan.expected.runs[0].fill_height, 0, style),
        whole=numbers.with_unit(whole, "mm", style),
        free=mL(experiment.vessel.capacity - experiment.total_volume, style),
        foam=mL(foam, style, 2),
    )


def _takes(plan: Plan, how: Writing) -> str:
    used, style = plan.consumption, how.style
    return how(
        "plan_report.takes",
        stock=mL(used.stock, style),
        diluent=mL(used.diluent, style),
        name=plan.experiment.diluent,
        sample=numbers.with_unit(two_or_more(used.sample, style), "g", style),
    )


def _upgrades(plan: Plan, how: Writing) -> tuple[Bar, ...]:
    style = how.style
    return tuple(
        Bar(
            source=how.say(upgrade.what),
            part=upgrade.gain,
            text=f"−{style.gap}{numbers.fixed(100.0 * upgrade.gain, 1, style)}{style.gap}%",
        )
        for upgrade in plan.upgrades
        if upgrade.gain >= SMALL_GAIN
    )


def _method(outcome: PlanOutcome, how: Writing) -> str:
    plan = outcome.plan
    return how(
        "plan_report.method",
        version=outcome.version,
        date=f", {outcome.made_on}" if outcome.made_on else "",
        draws=plan.expected.n_draws,
        seed=outcome.seed,
        digest=plan.experiment.digest[:12],
    )


def _curve_alt(plan: Plan, how: Writing) -> str:
    most = max(run.lost.value for run in plan.expected.runs)
    words = axis_words(plan.experiment, how)
    return how(
        "plan_report.curve_alt",
        grows=words.axis.grows,
        runs=len(plan.expected.runs),
        rising=words.rising,
        at=at_words(plan, how),
        falls=words.falls,
        most=numbers.with_unit(numbers.fixed(most, 2, how.style), "g", how.style),
    )


def _rows_alt(plan: Plan, how: Writing) -> str:
    said = "; ".join(
        f"{row_name(row.name, how)}: {row_words(row.reagent, how)} mL" for row in plan.rows
    )
    return how("plan_report.rows_alt", said=said)
