"""What there is to say of a row of filled cups, and whether the next step may begin."""

from __future__ import annotations

from collections.abc import Iterable, Iterator

from tarebook.core.quantity import Estimate
from tarebook.core.units import millilitres
from tarebook.diagnosis.handover import ON_EACH_SIDE, Fitness, Reason, Sides, Telling
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import Quantity
from tarebook.records.stage import READ_BY, RowStage, Stage
from tarebook.reduction.poured.results import PouredCup, PouredRow

TELLS_LESS = 1.25
"""Ratio of the uncertainties of the content, as poured over as planned, that is worth a remark."""


def findings_of_handover(
    poured: PouredRow, planned_sides: Sides, sides: Sides, telling: Telling | None
) -> Iterator[Finding]:
    """Yield what there is to say of a row of filled cups.

    Parameters
    ----------
    poured : PouredRow
    planned_sides, sides : Sides
    telling : Telling or None
    """
    for cup in poured.cups:
        for quantity, value in cup.recovered.items():
            yield _recovered(cup, quantity, value)
    if poured.cups and not sides.are_enough:
        yield _few_on_a_side(planned_sides, sides)
    elif telling is not None and telling.poured > TELLS_LESS * telling.planned:
        yield Finding(
            code="row-tells-less",
            severity=Severity.LOOK,
            evidence={
                "u_mass_fraction_planned": telling.planned,
                "u_mass_fraction_poured": telling.poured,
            },
            values={"times_less": telling.poured / telling.planned},
        )


def _recovered(cup: PouredCup, quantity: Quantity, value: Estimate) -> Finding:
    return Finding(
        code="volume-recovered",
        severity=Severity.LOOK,
        run=cup.run,
        reading=quantity.value,
        evidence={"volume_mL": millilitres(value.value), "u_mL": millilitres(value.u)},
        values={"volume": value},
    )


def _few_on_a_side(planned: Sides, sides: Sides) -> Finding:
    where = "before" if sides.before < sides.after else "after"
    count = min(sides.before, sides.after)
    return Finding(
        code="row-misses-equivalence",
        severity=Severity.LOOK if count or not planned.are_enough else Severity.STOP,
        evidence={
            "cups_before": float(sides.before),
            "cups_after": float(sides.after),
            "planned_before": float(planned.before),
            "planned_after": float(planned.after),
        },
        values={
            "count": count,
            "needed": ON_EACH_SIDE,
            "side": where,
            "by_plan": not planned.are_enough,
        },
    )


NEXT_STEP_ONLY = frozenset({"strength-without-uncertainty"})
"""Findings that say nothing of whether the cups may be used."""


def judge(findings: Iterable[Finding]) -> tuple[Fitness, tuple[Reason, ...]]:
    """Return whether the next step may begin, and what speaks against it.

    Parameters
    ----------
    findings : iterable of Finding
        All that stand, the most severe first.
    """
    runs: dict[tuple[str, Severity], dict[str, None]] = {}
    for finding in findings:
        if finding.severity is Severity.NOTE or finding.code in NEXT_STEP_ONLY:
            continue
        runs.setdefault((finding.code, finding.severity), {})
        if finding.run:
            runs[finding.code, finding.severity][finding.run] = None
    reasons = tuple(
        Reason(code=code, severity=severity, runs=tuple(names))
        for (code, severity), names in runs.items()
    )
    if any(reason.severity is Severity.STOP for reason in reasons):
        return Fitness.NOT_FIT, reasons
    return (Fitness.FIT_WITH_REMARKS if reasons else Fitness.FIT), reasons


def still_to_come(stage: RowStage, finding: Finding) -> bool:
    """Return whether a finding only says that a step of the work has not been done yet.

    Parameters
    ----------
    stage : RowStage
    finding : Finding
    """
    if stage.has_results or finding.code not in ("run-missing", "reading-missing"):
        # Where others are finished, a blank is a gap.
        return False
    reached = stage.runs.get(finding.run, Stage.PLANNED)
    return not finding.reading or reached.place < READ_BY[Quantity(finding.reading)].place


NO_RESULT = frozenset({"no-change-over", "content-open"})

OF_A_WHOLE_ROW = NO_RESULT | {"few-runs-on-a-side", "no-full-result"}
"""Findings that mean nothing while cups are still to be weighed."""


def so_far(stage: RowStage, findings: Iterable[Finding]) -> Iterator[Finding]:
    """Yield findings of a whole row; while it is under way those only say what is still open.

    Parameters
    ----------
    stage : RowStage
    findings : iterable of Finding
        Of `check_results`.
    """
    for finding in findings:
        blocks = finding.code in NO_RESULT and finding.severity is Severity.STOP
        if not stage.in_work or finding.code not in OF_A_WHOLE_ROW:
            yield finding
        elif blocks:
            yield _under_way(stage)


def _under_way(stage: RowStage) -> Finding:
    open_runs, done = stage.in_work, len(stage.at(Stage.FINISHED))
    return Finding(
        code="row-under-way",
        severity=Severity.LOOK,
        evidence={"finished": float(done), "not_finished": float(len(open_runs))},
        values={"open_runs": open_runs},
    )
