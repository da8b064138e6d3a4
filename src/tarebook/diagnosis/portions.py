"""Portions that all miss what the definition asks for by the same power of ten.

Ten or a hundred times is a decimal point. A thousand times is another unit: where the readings are
in another, each says so itself, so here it is said only where they are what people weigh.
"""

from __future__ import annotations

from collections.abc import Iterator
from statistics import median
from typing import Final

from tarebook.findings.finding import Finding, Severity
from tarebook.records.readings import Quantity, RunTable
from tarebook.series.experiment import Experiment

POWERS: Final = {
    0.001: "thousandth",
    0.01: "hundredth",
    0.1: "tenth",
    10.0: "ten",
    100.0: "hundred",
    1000.0: "thousand",
}
"""How many times what is asked for the portions may weigh, and what that is called."""

OTHER_UNIT: Final = (0.001, 1000.0)

LARGEST: Final = 100.0
"""Largest portion that people weigh into a cup, in g."""

NEAR: Final = 1.6
"""Factor by which each portion may miss a power of ten of what was asked for."""

FEWEST: Final = 3
"""Runs that must agree; fewer may be slips."""


def check_portions(experiment: Experiment, table: RunTable) -> Iterator[Finding]:
    """Yield a finding if all portions are ten or a hundred times what is asked for, or less.

    Parameters
    ----------
    experiment : Experiment
    table : RunTable
    """
    asked = {run: experiment.sample_asked(run) for run in table.runs}
    weighed = {run: table.mean_of(run, Quantity.SAMPLE) for run in table.runs}
    ratios = [
        mass / asked[run]
        for run, mass in weighed.items()
        if mass is not None and mass > 0.0 and asked[run] > 0.0
    ]
    if len(ratios) < FEWEST:
        return
    for power in POWERS:
        if power in OTHER_UNIT and max(ratios) * experiment.sample.nominal_mass > LARGEST:
            continue
        if all(power / NEAR < ratio < power * NEAR for ratio in ratios):
            yield _finding(experiment, power, median(ratios))


def _finding(experiment: Experiment, power: float, ratio: float) -> Finding:
    in_row = experiment.grows == "sample"
    key, place = ("sample_g", "series") if in_row else ("nominal_g", "sample")
    largest = max([experiment.sample.nominal_mass, *(run.sample for run in experiment.planned)])
    asked = largest if in_row else experiment.sample.nominal_mass
    return Finding(
        code="asked-off-by-ten",
        severity=Severity.STOP,
        reading=Quantity.SAMPLE.value,
        evidence={"asked_g": asked, "weighed_over_asked": ratio},
        values={
            "times": POWERS[power],
            "key": key,
            "table": place,
            "meant_g": power * asked,
            "in_row": in_row,
        },
    )
