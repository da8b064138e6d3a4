"""Runs weighed in a closed vessel: nothing leaves, so nothing may be lost or gained."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from tarebook.diagnosis.losses import losses
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

LOOK_FROM: Final = 3.0
STOP_FROM: Final = 6.0
"""Standard uncertainties by which the mass of a closed vessel may change."""


def check_sealed(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    """Yield whether each closed vessel kept its mass, of those whose masses were all read.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    if experiment.weighing.sealed is None:
        return
    for run, weighed in losses(experiment, table).items():
        if experiment.is_sealed(run):
            yield _finding(run, -weighed.lost, weighed.u)


def _finding(run: str, change: float, u: float) -> Finding:
    evidence: dict[str, float | str] = {"change_g": change, "u_g": u}
    if abs(change) <= LOOK_FROM * u:
        return Finding(
            code="mass-kept",
            severity=Severity.NOTE,
            run=run,
            evidence=evidence,
        )
    return Finding(
        code="mass-not-kept",
        severity=Severity.STOP if abs(change) > STOP_FROM * u else Severity.LOOK,
        run=run,
        reading=Quantity.FINAL.value,
        evidence=evidence,
        values={"lost": change < 0},
    )
