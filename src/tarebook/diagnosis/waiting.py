"""Waiting times that nobody wrote down: said where the answer leans on them."""

from __future__ import annotations

import math
from collections.abc import Iterator
from typing import Final

from tarebook.findings.finding import Finding, Severity
from tarebook.model.priors import priors
from tarebook.records.readings import Quantity, RunTable
from tarebook.reduction.joint.results import FullReduction
from tarebook.series.experiment import Experiment

MATTERS: Final = 0.03
"""Part of the variance of the content from which minutes that were not read are worth a word."""


def check_waiting(
    experiment: Experiment, table: RunTable, full: FullReduction
) -> Iterator[Finding]:
    """Yield a note if the content leans on minutes that were not read.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    full : FullReduction
    """
    if full.series is None:
        return
    runs = tuple(
        run.run
        for run in full.runs
        if table.of(run.run, Quantity.FINAL) and not table.of(run.run, Quantity.MINUTES)
    )
    known = next(prior for prior in priors(experiment) if prior.name == "waiting")
    share = sum(part.share for part in full.series.budget if part.source == known.label)
    if not runs or share < MATTERS:
        return
    minutes = experiment.procedure.minutes
    points = 100.0 * full.series.sample_mass_fraction.u * math.sqrt(share)
    yield Finding(
        code="minutes-not-read",
        severity=Severity.NOTE,
        run=runs[0] if len(runs) == 1 else "",
        reading=Quantity.MINUTES.value,
        evidence={"cups": float(len(runs)), "minutes": minutes, "share_of_variance": share},
        values={
            "said": experiment.procedure.minutes_are_said,
            "u_relative": known.u,
            "points": points,
        },
    )
