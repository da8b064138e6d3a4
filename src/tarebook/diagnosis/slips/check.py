"""Slips as findings: the entry points of this package."""

from __future__ import annotations

import math
from collections import defaultdict
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase, Value
from tarebook.core.units import millilitres
from tarebook.diagnosis.slips.cups import DILUENT, REAGENT
from tarebook.diagnosis.slips.effect import Effect, effect_of, left_out
from tarebook.diagnosis.slips.kinds import DIGITS, LOOK_FROM, ONCE_MORE, PREFIX, STOP_FROM, SlipKind
from tarebook.diagnosis.slips.odds import SlipOdds, default_odds
from tarebook.diagnosis.slips.row_findings import (
    exchange_finding,
    row_finding,
    unexplained_finding,
)
from tarebook.diagnosis.slips.series import (
    MOST_PAIRED,
    SeriesWeights,
    seen_from_others,
    weigh_series,
)
from tarebook.diagnosis.slips.values import (
    as_written,
    kind_of,
    one_after_another,
    shown,
    values_of,
    written,
)
from tarebook.diagnosis.slips.weigh import RunWeights, Weighed
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import READ
from tarebook.series.experiment import Experiment

MATTERS_FROM: Final = 0.3
"""Change of the content, in its standard uncertainties, without which nothing has to stop."""

REAL_POUR: Final = 4.0
"""Spreads by which a portion misses its target, from which it is worth saying that it is real."""

CONFIRMED: Final = 2.5
"""Standard uncertainties within which the mass of the liquid confirms an odd portion."""

ALSO_FROM: Final = 0.1
"""Share of the first explanation from which a second one is named too."""

SENSIBLE: Final = 1.2
"""Contents from which it is said that they make no sense, [g/g]."""

ACCEPTABLE: Final = 13.8
"""Sum of squares of two differences up to which an explanation explains: 0.1 % of good runs."""

CANNOT_BE_CHANCE: Final = 27.6
"""From which chance does not: one good run of a million."""

SUREST: Final = 0.999
"""Largest probability that is stated: what nobody thought of is always possible."""

NOT_WEIGHED: Final = "slips-not-weighed"


def check_slips(
    experiment: Experiment, table: RunTable, odds: SlipOdds | None = None
) -> tuple[Finding, ...]:
    """Return the slips that probably happened in a series, with their odds.

    Works with whatever has been read so far. No reading is changed.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    odds : SlipOdds, optional
        A course's own; else those of the table that ships.

    Returns
    -------
    tuple of Finding
        `reading` is the reading in which the slip shows; `evidence` has the numbers.
    """
    try:
        weights = weigh_series(experiment, table, odds or default_odds())
    except OutOfRangeError as error:
        return (_not_weighed(error),)
    return () if weights is None else tuple(findings_of(weights))


def findings_of(weights: SeriesWeights) -> Iterator[Finding]:
    """Yield the findings of a weighed series."""
    if weights.rows:
        yield row_finding(weights.rows, weights.experiment.diluent, SUREST)
    if weights.shifted is not None:
        yield exchange_finding(weights.shifted, Severity.STOP)
    explained: set[str] = set()
    for exchange in weights.exchanged:
        if exchange.probability > LOOK_FROM and not explained & set(exchange.source):
            explained |= set(exchange.source)
            stop = exchange.probability >= STOP_FROM
            yield exchange_finding(exchange, Severity.STOP if stop else Severity.LOOK)
    if weights.not_weighed or weights.not_paired:
        yield _cut_off(weights)
    index = {case.run: i for i, case in enumerate(weights.cases)}
    for run_weights in weights.runs:
        if run_weights.run in explained:
            continue
        explained_by = [w for w in run_weights.weighed if w.misfit <= ACCEPTABLE]
        in_doubt = 1.0 - run_weights.probability_of_none >= LOOK_FROM
        if not explained_by and (in_doubt or run_weights.misfit > CANNOT_BE_CHANCE):
            yield unexplained_finding(run_weights, CANNOT_BE_CHANCE)
        elif in_doubt:
            acceptable = replace(run_weights, weighed=tuple(explained_by))
            yield _run_finding(weights, index[run_weights.run], acceptable)
        else:
            yield from _real_pours(weights, index[run_weights.run])


def _cut_off(weights: SeriesWeights) -> Finding:
    """Return what was not looked for, since it would take too long."""
    return Finding(
        code="slips-cut-off",
        severity=Severity.NOTE,
        evidence={"weighed": len(weights.runs), "not_weighed": len(weights.not_weighed)},
        values={
            "in_doubt": len(weights.runs) + len(weights.not_weighed),
            "paired": min(len(weights.runs), MOST_PAIRED),
            "left": weights.not_weighed,
        },
    )


def _not_weighed(error: OutOfRangeError) -> Finding:
    return Finding(
        code=NOT_WEIGHED,
        severity=Severity.NOTE,
        values={
            "name": error.name,
            "value": error.value if math.isfinite(error.value) else str(error.value),
            "unit": "none" if error.unit == "1" else error.unit,
            "allowed": error.allowed,
        },
    )


def first_explanation(run: RunWeights) -> tuple[Weighed, list[Weighed]]:
    """Return the first explanation of a run and the next best of other kinds or readings.

    The reading with the greatest probability is named first, then the kind with the greatest in it,
    then the number with the greatest of that kind.
    """
    by_reading: dict[Quantity, float] = defaultdict(float)
    by_kind: dict[tuple[Quantity, SlipKind], float] = defaultdict(float)
    best: dict[tuple[Quantity, SlipKind], Weighed] = {}
    for weighed in run.weighed:
        key = (weighed.hypothesis.quantity, weighed.hypothesis.kind)
        by_reading[key[0]] += weighed.probability
        by_kind[key] += weighed.probability
        best.setdefault(key, weighed)
    quantity = max(by_reading, key=lambda q: by_reading[q])
    order = sorted(by_kind, key=lambda key: (key[0] is not quantity, -by_kind[key]))
    first = replace(best[order[0]], probability=by_kind[order[0]])
    others = [replace(best[key], probability=by_kind[key]) for key in order[1:]]
    return first, sorted(others, key=lambda w: -w.probability)


def _run_finding(weights: SeriesWeights, index: int, run: RunWeights) -> Finding:
    case = weights.cases[index]
    first, others = first_explanation(run)
    liquid_gap, gas_gap = seen_from_others(weights, index)
    effect = effect_of(weights, index, first)
    seen = bool(weights.fit.views.known[index, 1])
    values = values_of(case, first, gas_gap if seen else math.nan)
    kind = first.hypothesis.kind
    sure = 1.0 - run.probability_of_none >= STOP_FROM
    matters = effect.how_many_u >= MATTERS_FROM or not bool(weights.fit.views.possible[index])
    # Something we do not know is always possible: it is said only where it comes first.
    also = [
        w
        for w in others
        if w.probability >= ALSO_FROM * first.probability
        and w.hypothesis.kind is not SlipKind.UNKNOWN
    ][:3]
    quantity = first.hypothesis.quantity
    evidence: dict[str, float | str] = {
        "written": written(case, quantity) if quantity in READ else case.typed.get(quantity, ""),
        "probability": min(1.0 - run.probability_of_none, SUREST),
        "probability_of_this": min(first.probability, SUREST),
        "liquid_too_heavy_g": liquid_gap,
        "lost_too_much_g": gas_gap,
    }
    # What cannot be in a cup is no number of u away.
    misfits = {"misfit_u": run.misfit, "misfit_u_if": first.misfit}
    evidence |= {name: math.sqrt(m) for name, m in misfits.items() if math.isfinite(m)}
    evidence |= _would_be(first)
    evidence |= _content_evidence(effect)
    return Finding(
        code=PREFIX + kind.value,
        severity=Severity.STOP if sure and matters else Severity.LOOK,
        run=case.run,
        reading=quantity.value,
        readings=tuple((case.run, q) for q in left_out(kind, quantity)),
        evidence=evidence,
        values=values,
        do=one_after_another(
            Phrase(f"slip-now-{kind.value}", values),
            *_also(also, first, case.experiment.diluent),
            *_change(effect),
        ),
    )


def _would_be(first: Weighed) -> dict[str, float | str]:
    quantity = first.hypothesis.quantity
    key = f"would_be_{quantity.unit.replace('°C', 'C')}"
    if first.hypothesis.meant:
        return {key: float(first.hypothesis.meant)}
    if not math.isfinite(first.value):
        return {}
    in_ml = quantity in (Quantity.REAGENT, Quantity.DILUENT)
    return {key: millilitres(first.value) if in_ml else first.value}


def _also(also: list[Weighed], first: Weighed, diluent: str) -> Iterator[Phrase]:
    """Yield what else is possible, that of the same reading first."""
    if not also:
        return
    here = first.hypothesis.quantity
    ordered = sorted(also, key=lambda weighed: weighed.hypothesis.quantity is not here)
    digits = any(weighed.hypothesis.kind in DIGITS for weighed in also)
    yield Phrase.of(
        "slip-also",
        kinds=tuple(_alternative(weighed, first, diluent) for weighed in ordered),
        first_notes=digits and first.hypothesis.kind not in DIGITS,
    )


def _alternative(weighed: Weighed, first: Weighed, diluent: str) -> Phrase:
    hypothesis = weighed.hypothesis
    same = hypothesis.quantity is first.hypothesis.quantity
    of_cup = not hypothesis.meant and hypothesis.kind not in (SlipKind.NOT_ZEROED, *ONCE_MORE)
    return Phrase.of(
        "slip-alternative",
        kind=kind_of(hypothesis.kind, diluent),
        quantity=hypothesis.quantity,
        named=not (same or of_cup),
        meant=hypothesis.meant or "none",
    )


def _content_evidence(effect: Effect) -> dict[str, float | str]:
    put_right = math.isfinite(effect.put_right)
    return {
        "content_as_read": effect.as_read,
        "content_if": effect.put_right if put_right else effect.without,
    }


def _change(effect: Effect) -> Iterator[Phrase]:
    """Yield what would change in the answer."""
    if effect.u > 0.1:
        return
    if effect.how_many_u < 0.1:
        yield Phrase("slip-change-hardly")
        return
    put_right = math.isfinite(effect.put_right)
    values: dict[str, Value] = {
        "how": "put-right" if put_right else "left-out",
        "after": effect.put_right if put_right else effect.without,
    }
    if 0.0 < effect.as_read < SENSIBLE:
        yield Phrase("slip-change", values | {"before": effect.as_read})
    else:
        yield Phrase("slip-change-senseless", values)


def _real_pours(weights: SeriesWeights, index: int) -> Iterator[Finding]:
    """Yield a note for each odd portion that the mass of the liquid confirms."""
    case = weights.cases[index]
    gap, spread = _liquid_alone(weights, index)
    if not (math.isfinite(gap) and abs(gap) <= CONFIRMED * spread):
        return
    for row in (REAGENT, DILUENT):
        if row not in case.values:
            continue
        odd = case.habits.odd(row, index, case.values[row])
        if abs(odd) < REAL_POUR:
            continue
        quantity = READ[row]
        yield Finding(
            code="odd-pour-is-real",
            severity=Severity.NOTE,
            run=case.run,
            reading=quantity.value,
            evidence={"liquid_gap_g": gap, "u_g": spread, "how_many_spreads": abs(odd)},
            values={
                "written": as_written(case, quantity),
                "target": shown(case, quantity, float(case.habits.centre[row, index])),
            },
        )


def _liquid_alone(weights: SeriesWeights, index: int) -> tuple[float, float]:
    """Return the difference of the liquid's mass and its uncertainty, nan if it was not read."""
    views = weights.fit.views.pick([index])
    if not bool(views.known[0, 0]):
        return math.nan, math.nan
    gap, _ = seen_from_others(weights, index)
    return gap, math.sqrt(float(views.own[0, 0, 0]))
