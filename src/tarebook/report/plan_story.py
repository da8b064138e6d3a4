"""What a plan says, in words and rounded numbers, before anyone decides how it looks."""

from __future__ import annotations

import math
from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

from tarebook.core.units import millilitres
from tarebook.planning.exactness import KindCare
from tarebook.planning.plan import Plan
from tarebook.planning.rows import Best, Row
from tarebook.planning.variants import Variant
from tarebook.records.readings import VOLUMES, Quantity
from tarebook.report import numbers, typeset
from tarebook.report.equipment import Table
from tarebook.report.noticed import Said, say_all
from tarebook.report.numbers import NumberStyle
from tarebook.report.plan_outcome import PlanOutcome, plan_findings

ROW_NAMES = {
    "given": "this row",
    "equal steps": "equal steps",
    "best": "best",
    "even": "even row",
}

SMALL_GAIN = 0.005
"""An upgrade that buys less than half a per cent is not worth a line."""

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
    answer : str
        The first line: whether the plan works.
    prospect : str
        How well content and change-over would be known.
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
        answer=_answer(plan, style),
        prospect=_prospect(plan, style),
        anew=_anew(plan, style),
        findings=say_all(plan_findings(plan), style),
        rows=_rows(plan, style),
        rows_note=_rows_note(plan, style),
        runs=_runs(plan, style),
        vessel=_vessel(plan, style),
        takes=_takes(plan, style),
        care=_care(plan, style),
        upgrades=bars,
        no_upgrade="" if bars else "No better instrument of the tables would change it.",
        upgrades_title=f"What a better instrument would take off the ± of {_wanted(plan)}",
        variants=_variants(plan, style),
        method=_method(outcome),
        curve_alt=_curve_alt(plan, style),
        rows_alt=_rows_alt(plan, style),
        upgrades_alt="; ".join(f"{bar.source}: {bar.text}" for bar in bars),
    )


def two(value: float, style: NumberStyle) -> str:
    """Return a number with two significant digits.

    Examples
    --------
    >>> two(0.5467, numbers.TERMINAL), two(12.34, numbers.TERMINAL), two(0.0, numbers.TERMINAL)
    ('0.55', '12', '0')
    """
    if value == 0:
        return "0"
    rounded = float(f"{value:.1e}")
    return numbers.fixed(rounded, max(numbers.places(rounded, abs(rounded)), 0), style)


def mL(volume: float, style: NumberStyle, digits: int = 3) -> str:  # noqa: N802  the unit
    """Return a volume in L as millilitres with its unit."""
    return numbers.with_unit(
        numbers.plain(float(f"{millilitres(volume):.{digits}g}"), 0.0, style), "mL", style
    )


def row_words(reagent: Sequence[float], style: NumberStyle = numbers.TERMINAL) -> str:
    """Return a row in a few words: an even one by its step, one with replicates by their number.

    Examples
    --------
    >>> row_words([0.02, 0.02, 0.02, 0.035, 0.035]), row_words([0.01, 0.012, 0.014])
    ('3 × 20, 2 × 35', '10 to 14 in steps of 2')
    """
    volumes = [round(millilitres(volume), 6) for volume in reagent]
    counts = Counter(volumes)

    def shown(volume: float) -> str:
        return numbers.plain(volume, 0.0, style)

    if len(counts) < len(volumes):
        parts = []
        for volume in sorted(counts):
            times = counts[volume]
            parts.append(f"{times} × {shown(volume)}" if times > 1 else shown(volume))
        return ", ".join(parts)
    steps = {round(b - a, 6) for a, b in pairwise(volumes)}
    if len(steps) == 1 and len(volumes) > 2:
        return f"{shown(volumes[0])} to {shown(volumes[-1])} in steps of {shown(steps.pop())}"
    return ", ".join(shown(volume) for volume in volumes)


def _wanted(plan: Plan) -> str:
    return "the content" if plan.wishes.best is Best.CONTENT else "the change-over"


def _u_wanted(plan: Plan, u: float, style: NumberStyle) -> str:
    if plan.wishes.best is Best.CONTENT:
        return numbers.with_unit(two(100.0 * u, style), "%", style)
    return numbers.with_unit(two(millilitres(u), style), "mL", style)


def _answer(plan: Plan, style: NumberStyle) -> str:
    at = mL(plan.expected.equivalence.value, style)
    where = f"the change-over falls at {at}"
    if plan.between:
        where += f", between runs {typeset.listed(plan.between)}"
    if plan.works:
        watch = any(advice.severity == "look" for advice in plan.advices)
        return f"This plan works{', with a caution' if watch else ''}: {where}."
    stops = [advice for advice in plan.advices if advice.severity == "stop"]
    first = stops[0].message
    return f"This plan does not work. {first}"


def _prospect(plan: Plan, style: NumberStyle) -> str:
    row = plan.rows[0]
    u_content = numbers.with_unit(two(100.0 * row.u_content, style), "%", style)
    u_at = numbers.with_unit(two(millilitres(row.u_equivalence), style), "mL", style)
    low, high = (numbers.fixed(100.0 * end, 0, style)
                 for end in (plan.contents.low, plan.contents.high))  # fmt: skip
    if not plan.works:
        return f"Planned for a content from {low} to {high}{style.gap}%."
    return (
        f"The content should come out to ±{style.around}{u_content} and the change-over to "
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


def _rows(plan: Plan, style: NumberStyle) -> Table:
    lines = []
    for row in plan.rows:
        if plan.laid_out_anew and row.name == "even":
            continue  # It is the row of the first line.
        gain = plan.gain(row.name)
        lines.append(
            (
                ROW_NAMES[row.name],
                row_words(row.reagent, style),
                _three(100.0 * row.u_content, style),
                _three(millilitres(row.u_equivalence), style),
                _gain_words(row, gain, style),
            )
        )
    return Table(
        columns=("row", "reagent\nmL", "content\n±, %", "ch.-over\n±, mL", "gain\n%"),
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


def _rows_note(plan: Plan, style: NumberStyle) -> str:
    said = (
        f"Gain: how much smaller u of {_wanted(plan)} is than with equal steps of the whole volume."
    )
    best = plan.row("best")
    if best and (best.reagent[0] == 0.0 or best.reagent[-1] == plan.experiment.total_volume):
        said += (
            " A vessel filled from one measuring vessel alone tells what stays behind in that one."
        )
    other = plan.other_sample
    if other is None:
        return said
    u = _u_wanted(plan, other.row.u(plan.wishes.best), style)
    mass = numbers.plain(other.mass, 0.0, style)
    return (
        f"{said} With {mass}{style.gap}g of sample the best placement "
        f"({row_words(other.row.reagent, style)}{style.gap}mL) would come to ±{style.around}{u}."
    )


def _runs(plan: Plan, style: NumberStyle) -> Table:
    lines = []
    for run, lesson in zip(plan.expected.runs, plan.lessons, strict=True):
        lines.append(
            (
                run.run,
                numbers.plain(float(f"{millilitres(run.reagent):.5g}"), 0.0, style),
                numbers.plain(float(f"{millilitres(run.diluent):.5g}"), 0.0, style),
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
            "loss\ng",
            "95 %\ng",
            "loss\nin u",
            "reagent\nlimits",
            "content\n+ %",
            "change-over\n+ %",
        ),
        rows=tuple(lines),
        words=(0,),
        caption="Loss in u: over the standard uncertainty of the balances. The last two columns: "
        "by how much u of the content and of the change-over would grow without this run.",
    )


def _decimals(u: float) -> int:
    return max(numbers.places(u, u) - 1, 0)


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


def two_or_more(value: float, style: NumberStyle) -> str:
    """Return a number with three significant digits, trailing zeros dropped."""
    return numbers.plain(float(f"{value:.3g}"), 0.0, style)


def _care(plan: Plan, style: NumberStyle) -> Table:
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


def _upgrades(plan: Plan, style: NumberStyle) -> tuple[Bar, ...]:
    return tuple(
        Bar(
            source=upgrade.words,
            part=upgrade.gain,
            text=f"−{style.gap}{numbers.fixed(100.0 * upgrade.gain, 1, style)}{style.gap}%",
        )
        for upgrade in plan.upgrades
        if upgrade.gain >= SMALL_GAIN
    )


def _variants(plan: Plan, style: NumberStyle) -> Table:
    return Table(
        columns=(
            "if",
            "content\n±, %",
            "ch.-over\n±, mL",
            "ch.-over\nmL",
            "place\n0 to 1",
            "loss\ng",
            "stock\nmL",
            "sample\ng",
        ),
        rows=tuple(_variant(variant, style) for variant in plan.variants),
        words=(0,),
        caption="±: u. Place: of the change-over between the first run (0) and the last (1); "
        "outside of that the row does not show it. Loss: the largest of the row.",
    )


def _variant(variant: Variant, style: NumberStyle) -> tuple[str, ...]:
    return (
        variant.words,
        two(100.0 * variant.u_content, style),
        two(millilitres(variant.u_equivalence), style),
        two_or_more(millilitres(variant.equivalence), style),
        numbers.fixed(variant.place, 2, style),
        numbers.fixed(variant.lost, 2, style),
        two_or_more(millilitres(variant.stock), style),
        two_or_more(variant.sample, style),
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
    return (
        f"Chart of the expected mass loss in g against the reagent in mL, {runs} runs. It "
        "rises while the reagent limits, changes over at "
        f"{mL(plan.expected.equivalence.value, style)} and stays near "
        f"{numbers.fixed(most, 2, style)}{style.gap}g."
    )


def _rows_alt(plan: Plan, style: NumberStyle) -> str:
    said = "; ".join(f"{ROW_NAMES[row.name]}: {row_words(row.reagent, style)} mL"
                     for row in plan.rows)  # fmt: skip
    return f"Where the runs stand along the reagent volume. {said}."
