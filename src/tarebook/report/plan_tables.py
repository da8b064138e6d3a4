"""The tables of a plan: rows side by side, run by run, how exact, what if."""

from __future__ import annotations

import math

from tarebook.core.units import millilitres
from tarebook.planning.exactness import KindCare
from tarebook.planning.plan import Plan
from tarebook.planning.rows import Row
from tarebook.planning.variants import Variant
from tarebook.records.readings import VOLUMES
from tarebook.report import numbers
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import Writing
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_words import (
    equivalence_u,
    row_name,
    row_words,
    sample_words,
    two,
    two_or_more,
    u_wanted,
)


def row_table(plan: Plan, how: Writing) -> Table:
    """Return the rows side by side, with what each gains."""
    lines, grows, style = [], plan.experiment.grows == "sample", how.style
    for row in plan.rows:
        if plan.laid_out_anew and row.name == "even":
            continue  # It is the row of the first line.
        gain = plan.gain(row.name)
        lines.append(
            (
                row_name(row.name, how),
                sample_words(plan, how) if grows else row_words(row.reagent, how),
                _three(100.0 * row.u_content, style),
                _three(equivalence_u(plan, row.u_equivalence)[0], style),
                _gain_words(row, gain, style),
            )
        )
    return Table(
        columns=(
            how("plan_report.column_row"),
            how("plan_report.column_sample" if grows else "plan_report.column_reagent"),
            how("plan_report.column_content"),
            how("plan_report.column_equivalence", unit="g" if grows else "mL"),
            how("plan_report.column_gain"),
        ),
        rows=tuple(lines),
        words=(0, 1),
        caption="",
    )


def _three(u: float, style: NumberStyle) -> str:
    """Return a u with three digits: rows differ in the third."""
    return numbers.fixed(u, max(numbers.places(u, u) + 1, 0), style)


def _gain_words(row: Row, gain: float | None, style: NumberStyle) -> str:
    if row.name == "equal steps" or gain is None:
        return "–"
    return numbers.fixed(100.0 * gain, 1, style)


def rows_note(plan: Plan, how: Writing) -> str:
    """Return what stands under the rows: what the gain is, what other amounts would do.

    Nothing where the sample grows: such a row has no other one to be held against.
    """
    if plan.experiment.grows == "sample":
        return ""
    said = [how("plan_report.gain", best=plan.wishes.best)]
    best, other = plan.row("best"), plan.other_sample
    if best and (best.reagent[0] == 0.0 or best.reagent[-1] == plan.experiment.total_volume):
        said.append(how("plan_report.one_alone"))
    if other is not None:
        u = u_wanted(plan, other.row.u(plan.wishes.best), how.style)
        mass = numbers.with_unit(numbers.plain(other.mass, 0.0, how.style), "g", how.style)
        said.append(how("plan_report.other_sample", mass=mass, u=f"{how.style.around}{u}"))
    return " ".join(said)


def run_table(plan: Plan, how: Writing) -> Table:
    """Return the row run by run: loss, chance that the reagent limits, what each teaches."""
    lines, grows, style = [], plan.experiment.grows == "sample", how.style
    to = how("handover.to")
    for run, lesson in zip(plan.expected.runs, plan.lessons, strict=True):
        poured = [millilitres(run.reagent), millilitres(run.diluent)]
        if grows:
            poured.append(plan.experiment.sample_asked(run.run))
        lines.append(
            (
                run.run,
                *(numbers.plain(float(f"{much:.5g}"), 0.0, style) for much in poured),
                numbers.fixed(run.lost.value, _decimals(run.lost_u), style),
                f"{numbers.fixed(run.lost.low, _decimals(run.lost_u), style)} {to} "
                f"{numbers.fixed(run.lost.high, _decimals(run.lost_u), style)}",
                numbers.fixed(run.lost.value / run.lost_u, 0, style),
                numbers.probability(run.p_reagent_limiting, style),
                numbers.fixed(100.0 * lesson.content, 1, style),
                numbers.fixed(100.0 * lesson.equivalence, 1, style),
            )
        )
    return Table(
        columns=(
            how("plan_report.column_run"),
            how("plan_report.column_reagent"),
            how("plan_report.column_diluent"),
            *((how("plan_report.column_sample"),) if grows else ()),
            how("plan_report.column_loss"),
            "95 %\ng",
            how("plan_report.column_loss_u"),
            how("plan_report.column_limits"),
            how("plan_report.column_content_more"),
            how("plan_report.column_equivalence_more"),
        ),
        rows=tuple(lines),
        words=(0,),
        caption=how("plan_report.about_runs"),
    )


def _decimals(u: float) -> int:
    return max(numbers.places(u, u) - 1, 0)


def care_table(plan: Plan, how: Writing) -> Table:
    """Return how exact each reading must be, the most delicate first."""
    lines, style = [], how.style
    for kind in plan.exactness.kinds:
        factor = 1000.0 if kind.quantity in VOLUMES else 1.0
        unit = kind.quantity.unit
        lines.append(
            (
                how(f"plan_report.reading_{kind.quantity.name.lower()}"),
                kind.run,
                _within(factor * kind.read_to, unit, how),
                _own(factor * kind.instrument_u, unit, style),
                _miss(kind, factor, unit, how),
                how(f"plan_report.so_{_verdict(kind)}"),
            )
        )
    return Table(
        columns=(
            how("plan_report.column_reading"),
            how("plan_report.column_run"),
            how("plan_report.column_misread"),
            how("plan_report.column_own"),
            how("plan_report.column_miss"),
            how("plan_report.column_so"),
        ),
        rows=tuple(lines),
        words=(0, 1, 5),
        caption=how("plan_report.about_care"),
    )


def _within(value: float, unit: str, how: Writing) -> str:
    if math.isinf(value):
        return how("plan_report.any")
    style = how.style
    return f"±{style.around}{numbers.with_unit(two(value, style), unit, style)}"


def _own(value: float, unit: str, style: NumberStyle) -> str:
    return "–" if math.isinf(value) else numbers.with_unit(two(value, style), unit, style)


def _miss(kind: KindCare, factor: float, unit: str, how: Writing) -> str:
    if kind.miss is None:
        return "–"
    if kind.miss == 0:
        return how("plan_report.hit")
    shown = numbers.plain(float(f"{factor * kind.miss:.2g}"), 0.0, how.style)
    return numbers.with_unit(shown, unit, how.style)


def _verdict(kind: KindCare) -> str:
    """Return by its code what follows for a reading."""
    if math.isinf(kind.instrument_u):
        return "minute" if kind.read_to >= 0.5 else "time"
    times = kind.read_to / kind.instrument_u
    if times < 1.0:
        return "most"
    if times < 3.0:
        return "care"
    return "none" if times > 20.0 else "usual"


def variant_table(plan: Plan, how: Writing) -> Table:
    """Return what would be if amounts, balance or room were others."""
    return Table(
        columns=(
            how("plan_report.column_if"),
            how("plan_report.column_content"),
            how("plan_report.column_equivalence", unit="mL"),
            how("plan_report.column_at"),
            how("plan_report.column_place"),
            how("plan_report.column_loss"),
            how("plan_report.column_stock"),
            how("plan_report.column_sample"),
        ),
        rows=tuple(_variant(variant, how) for variant in plan.variants),
        words=(0,),
        caption=how("plan_report.about_variants"),
    )


def _variant(variant: Variant, how: Writing) -> tuple[str, ...]:
    style = how.style
    return (
        how.say(variant.what),
        two(100.0 * variant.u_content, style),
        two(millilitres(variant.u_equivalence), style),
        two_or_more(millilitres(variant.equivalence), style),
        numbers.fixed(variant.place, 2, style),
        numbers.fixed(variant.lost, 2, style),
        two_or_more(millilitres(variant.stock), style),
        two_or_more(variant.sample, style),
    )
