"""The tables of a plan: rows side by side, run by run, how exact, what if."""

from __future__ import annotations

import math

from tarebook.core.units import millilitres
from tarebook.planning.exactness import KindCare
from tarebook.planning.plan import Plan
from tarebook.planning.rows import Row
from tarebook.planning.variants import Variant
from tarebook.records.readings import VOLUMES, Quantity
from tarebook.report import numbers
from tarebook.report.equipment import Table
from tarebook.report.languages.writing import in_english
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_words import (
    ROW_NAMES,
    equivalence_u,
    row_words,
    sample_words,
    two,
    two_or_more,
    u_wanted,
    wanted,
)

READING_NAMES = {
    Quantity.REAGENT: "reagent poured",
    Quantity.DILUENT: "diluent poured",
    Quantity.TARE: "empty vessel",
    Quantity.LIQUID: "vessel with liquid",
    Quantity.SAMPLE: "sample",
    Quantity.FINAL: "final mass",
    Quantity.TEMPERATURE: "temperature",
    Quantity.MINUTES: "waiting time",
}


def row_table(plan: Plan, style: NumberStyle) -> Table:
    """Return the rows side by side, with what each gains."""
    lines, grows = [], plan.experiment.grows == "sample"
    for row in plan.rows:
        if plan.laid_out_anew and row.name == "even":
            continue  # It is the row of the first line.
        gain = plan.gain(row.name)
        lines.append(
            (
                ROW_NAMES[row.name],
                sample_words(plan, style) if grows else row_words(row.reagent, style),
                _three(100.0 * row.u_content, style),
                _three(equivalence_u(plan, row.u_equivalence)[0], style),
                _gain_words(row, gain, style),
            )
        )
    return Table(
        columns=(
            "row",
            "sample\ng" if grows else "reagent\nmL",
            "content\n±, %",
            f"equiv.\n±, {'g' if grows else 'mL'}",
            "gain\n%",
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


def rows_note(plan: Plan, style: NumberStyle) -> str:
    """Return what stands under the rows: what the gain is, what other amounts would do.

    Nothing where the sample grows: such a row has no other one to be held against.
    """
    if plan.experiment.grows == "sample":
        return ""
    said = (
        f"Gain: how much smaller u of {wanted(plan)} is than with equal steps of the whole volume."
    )
    best = plan.row("best")
    if best and (best.reagent[0] == 0.0 or best.reagent[-1] == plan.experiment.total_volume):
        said += (
            " A vessel filled from one measuring vessel alone tells what stays behind in that one."
        )
    other = plan.other_sample
    if other is None:
        return said
    u = u_wanted(plan, other.row.u(plan.wishes.best), style)
    mass = numbers.plain(other.mass, 0.0, style)
    return (
        f"{said} With {mass}{style.gap}g of sample the best placement would come to "
        f"±{style.around}{u}."
    )


def run_table(plan: Plan, style: NumberStyle) -> Table:
    """Return the row run by run: loss, chance that the reagent limits, what each teaches."""
    lines, grows = [], plan.experiment.grows == "sample"
    for run, lesson in zip(plan.expected.runs, plan.lessons, strict=True):
        poured = [millilitres(run.reagent), millilitres(run.diluent)]
        if grows:
            poured.append(plan.experiment.sample_asked(run.run))
        lines.append(
            (
                run.run,
                *(numbers.plain(float(f"{much:.5g}"), 0.0, style) for much in poured),
                numbers.fixed(run.lost.value, _decimals(run.lost_u), style),
                f"{numbers.fixed(run.lost.low, _decimals(run.lost_u), style)} to "
                f"{numbers.fixed(run.lost.high, _decimals(run.lost_u), style)}",
                numbers.fixed(run.lost.value / run.lost_u, 0, style),
                numbers.probability(run.p_reagent_limiting, style),
                numbers.fixed(100.0 * lesson.content, 1, style),
                numbers.fixed(100.0 * lesson.equivalence, 1, style),
            )
        )
    return Table(
        columns=(
            "run",
            "reagent\nmL",
            "diluent\nmL",
            *(("sample\ng",) if grows else ()),
            "loss\ng",
            "95 %\ng",
            "loss\nin u",
            "reagent\nlimits",
            "content\n+ %",
            "equivalence\n+ %",
        ),
        rows=tuple(lines),
        words=(0,),
        caption="Loss in u: over the standard uncertainty of the balances. The last two columns: "
        "by how much u of content and equivalence point grow without this run.",
    )


def _decimals(u: float) -> int:
    return max(numbers.places(u, u) - 1, 0)


def care_table(plan: Plan, style: NumberStyle) -> Table:
    """Return how exact each reading must be, the most delicate first."""
    lines = []
    for kind in plan.exactness.kinds:
        factor = 1000.0 if kind.quantity in VOLUMES else 1.0
        unit = kind.quantity.unit
        lines.append(
            (
                READING_NAMES[kind.quantity],
                kind.run,
                _within(factor * kind.read_to, unit, style),
                _own(factor * kind.instrument_u, unit, style),
                _miss(kind, factor, unit, style),
                _verdict(kind),
            )
        )
    return Table(
        columns=(
            "reading",
            "run",
            "misread\nharmless",
            "u of one\nreading",
            "missed target\nharmless",
            "so",
        ),
        rows=tuple(lines),
        words=(0, 1, 5),
        caption="For the run where it matters most. Harmless: the misreading moves the result by "
        "less than a fifth of its u; the missed target, if what was really taken is read, lets u "
        "grow by less than 2 %.",
    )


def _within(value: float, unit: str, style: NumberStyle) -> str:
    if math.isinf(value):
        return "any"
    return f"±{style.around}{numbers.with_unit(two(value, style), unit, style)}"


def _own(value: float, unit: str, style: NumberStyle) -> str:
    return "–" if math.isinf(value) else numbers.with_unit(two(value, style), unit, style)


def _miss(kind: KindCare, factor: float, unit: str, style: NumberStyle) -> str:
    if kind.miss is None:
        return "–"
    if kind.miss == 0:
        return "hit it"
    shown = numbers.plain(float(f"{factor * kind.miss:.2g}"), 0.0, style)
    return numbers.with_unit(shown, unit, style)


def _verdict(kind: KindCare) -> str:
    if math.isinf(kind.instrument_u):
        return "to the minute" if kind.read_to >= 0.5 else "time it"
    times = kind.read_to / kind.instrument_u
    if times < 1.0:
        return "matters most"
    if times < 3.0:
        return "read with care"
    return "no care needed" if times > 20.0 else "usual care"


def variant_table(plan: Plan, style: NumberStyle) -> Table:
    """Return what would be if amounts, balance or room were others."""
    return Table(
        columns=(
            "if",
            "content\n±, %",
            "equiv.\n±, mL",
            "equiv.\nmL",
            "place\n0 to 1",
            "loss\ng",
            "stock\nmL",
            "sample\ng",
        ),
        rows=tuple(_variant(variant, style) for variant in plan.variants),
        words=(0,),
        caption="±: u. Place: of the equivalence point between the first run (0) and the last (1); "
        "outside of that the row does not show it. Loss: the largest of the row.",
    )


def _variant(variant: Variant, style: NumberStyle) -> tuple[str, ...]:
    return (
        in_english(style).say(variant.what),
        two(100.0 * variant.u_content, style),
        two(millilitres(variant.u_equivalence), style),
        two_or_more(millilitres(variant.equivalence), style),
        numbers.fixed(variant.place, 2, style),
        numbers.fixed(variant.lost, 2, style),
        two_or_more(millilitres(variant.stock), style),
        two_or_more(variant.sample, style),
    )
