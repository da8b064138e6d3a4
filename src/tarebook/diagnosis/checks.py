"""All checks of a series together."""

from __future__ import annotations

from collections.abc import Iterable

from tarebook.core.phrase import Phrase
from tarebook.diagnosis.liquid import check_liquid
from tarebook.diagnosis.portions import check_portions
from tarebook.diagnosis.readings import check_readings
from tarebook.diagnosis.sealed import check_sealed
from tarebook.diagnosis.series import check_definition
from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import RunTable
from tarebook.reduction.results import SetAside
from tarebook.series.experiment import Experiment

CONTRADICTED = frozenset({"liquid-mass-disagrees", "liquid-below-tare"})
"""Findings that leave the masses of gas and sample as they are."""


def check_table(experiment: Experiment, table: RunTable) -> tuple[Finding, ...]:
    """Return everything the checks notice before any reduction, in the order found.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    return (
        *check_definition(experiment),
        *check_portions(experiment, table),
        *check_readings(experiment, table),
        *check_liquid(experiment, table),
        *check_sealed(experiment, table),
    )


def runs_to_set_aside(findings: Iterable[Finding]) -> SetAside:
    """Return the runs with a finding of severity stop.

    Their readings are kept and shown as they are; only the lines through the row do not use them.

    Parameters
    ----------
    findings : iterable of Finding

    Returns
    -------
    SetAside
        `unusable` where a number cannot be what it says; `doubtful` where it is only contradicted.
    """
    unusable: dict[str, Phrase] = {}
    doubtful: dict[str, Phrase] = {}
    for finding in findings:
        if finding.severity is Severity.STOP and finding.run:
            group = doubtful if finding.code in CONTRADICTED else unusable
            group.setdefault(finding.run, finding.phrase)
    return SetAside(unusable=unusable, doubtful=doubtful)
