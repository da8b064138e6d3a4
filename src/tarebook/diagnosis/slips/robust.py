"""Results that do not rest on doubtful readings, and say so.

A finding of severity stop that is not settled takes the readings it names out of the full result:
those readings, not the whole run. The textbook's sum needs every reading of a run but the empty
vessel, so there the run stands aside. The readings themselves stay as they are.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from tarebook.core.errors import OutOfRangeError
from tarebook.core.phrase import Phrase
from tarebook.diagnosis.checks import runs_to_set_aside
from tarebook.findings.finding import Finding, Severity
from tarebook.model.effects import ALL_EFFECTS
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.problem import READ, joint_problem
from tarebook.reduction.joint.results import FullSeries
from tarebook.reduction.joint.solution import NoFitError
from tarebook.reduction.joint.solve import ABSURD, solve
from tarebook.reduction.joint.starts import scanned_starts
from tarebook.reduction.joint.trial import CONTENT
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

TOLD_BY_SLIPS: Final = frozenset(
    {
        "liquid-mass-disagrees",
        "unit-mixed-up",
        "temperature-odd",
        "final-above-start",
        "lost-more-than-sample",
        "liquid-below-tare",
        "above-capacity",
    }
)
"""Findings of plain checks that only say of a run what a slip explains."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Handled:
    """What to reduce, and how, while findings of severity stop stand.

    Attributes
    ----------
    findings : tuple of Finding
        Each thing told once.
    table : RunTable
        For the full result: without the doubtful readings.
    full_aside : SetAside
        For the full result.
    usual_aside : SetAside
        For the textbook's sum, which uses the readings as they are.
    left_out : tuple of (run, Quantity)
        Readings that `table` lacks.
    """

    findings: tuple[Finding, ...]
    table: RunTable
    full_aside: SetAside
    usual_aside: SetAside
    left_out: tuple[tuple[str, Quantity], ...]


def handle(table: RunTable, plain: Iterable[Finding], slips: Iterable[Finding]) -> Handled:
    """Return what to reduce, and how, given the findings.

    Parameters
    ----------
    table : RunTable
    plain : iterable of Finding
        Of the plain checks.
    slips : iterable of Finding
    """
    plain = tuple(plain)
    slips = tuple(_as_severe(finding, plain) for finding in slips)
    stops = [finding for finding in slips if finding.severity is Severity.STOP]
    stopped = {run for finding in stops for run in finding.all_runs}
    usual = runs_to_set_aside(plain)
    doubtful = dict(usual.doubtful)
    for finding in stops:
        # The textbook's sum has no use for the empty vessel: such a run stays in it.
        of_tare_alone = {quantity for _, quantity in finding.readings} == {Quantity.TARE}
        for run in () if of_tare_alone else finding.all_runs:
            if run not in usual.unusable:
                doubtful.setdefault(run, finding.phrase)
    left = [f for f in plain if not (f.code in TOLD_BY_SLIPS and f.run in stopped)]
    kept = without_doubtful(table, stops)
    left_out = {(r.run, r.quantity) for r in table.readings}
    left_out -= {(r.run, r.quantity) for r in kept.readings}
    return Handled(
        findings=told_once(plain, slips),
        table=kept,
        full_aside=runs_to_set_aside(left),
        usual_aside=SetAside(unusable=usual.unusable, doubtful=doubtful),
        left_out=tuple(sorted(left_out)),
    )


def without_doubtful(table: RunTable, slips: Iterable[Finding]) -> RunTable:
    """Return the readings that no finding of severity stop puts in doubt.

    Parameters
    ----------
    table : RunTable
    slips : iterable of Finding
    """
    gone = {
        pair for finding in slips if finding.severity is Severity.STOP for pair in finding.readings
    }
    return table.without(gone)


def told_once(plain: Iterable[Finding], slips: Iterable[Finding]) -> tuple[Finding, ...]:
    """Return all findings, those left out that a slip of the same run explains."""
    slips = tuple(slips)
    explained = {
        run
        for finding in slips
        if finding.severity is not Severity.NOTE
        for run in finding.all_runs
    }
    return (*slips, *(f for f in plain if not (f.code in TOLD_BY_SLIPS and f.run in explained)))


def _as_severe(slip: Finding, plain: tuple[Finding, ...]) -> Finding:
    """Return a slip, as severe as the plain findings whose place it takes."""
    stops = any(
        finding.severity is Severity.STOP
        and finding.code in TOLD_BY_SLIPS
        and finding.run in slip.all_runs
        for finding in plain
    )
    return (
        replace(slip, severity=Severity.STOP) if stops and slip.severity is Severity.LOOK else slip
    )


def say_left_out(
    experiment: Experiment, table: RunTable, handled: Handled, series: FullSeries | None
) -> tuple[Finding, ...]:
    """Return a note on what the full result does not use, and what it would be with it.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
        As read.
    handled : Handled
    series : FullSeries or None
        The full result.
    """
    if not handled.left_out or series is None:
        return ()
    named = tuple(
        Phrase.of("of-run-reading", run=run, quantity=quantity)
        for run, quantity in handled.left_out
    )
    content = series.sample_mass_fraction.value
    # Of a number that cannot be what it says nothing follows, whatever a fit makes of it.
    cannot_be = any(run in handled.usual_aside.unusable for run, _ in handled.left_out)
    as_read = None if cannot_be else _content_as_read(experiment, table)
    evidence: dict[str, float | str] = {"content": content}
    if as_read is not None:
        evidence["content_as_read"] = as_read
    return (
        Finding(
            code="doubtful-left-out",
            severity=Severity.NOTE,
            evidence=evidence,
            values={"named": named, "makes_sense": as_read is not None},
        ),
    )


def _content_as_read(experiment: Experiment, table: RunTable) -> float | None:
    """Return the content of the joint fit with every reading as it stands; None without one.

    From the likeliest start alone: where that leads nowhere, no start makes sense of the readings,
    and to try each with care takes many times as long as the result itself.
    """
    runs = tuple(run for run in table.runs if any(table.of(run, q) for q in READ))
    try:
        # A reading that cannot be may drive the fit to a cup without water: no result either.
        with np.errstate(divide="raise", invalid="raise"):
            problem = joint_problem(experiment, table, runs, ALL_EFFECTS)
            starts, _ = scanned_starts(problem)
            solution = solve(problem, start=starts[0], with_covariance=False)
    except (NoFitError, OutOfRangeError, np.linalg.LinAlgError, FloatingPointError):
        return None
    content = float(solution.unknowns[CONTENT])
    fits = solution.chi2 < ABSURD * len(solution.rows)
    return content if fits and 0.0 < content < SENSIBLE else None


SENSIBLE: Final = 1.4
"""A content from which a result says only that it cannot be, [g/g]."""
