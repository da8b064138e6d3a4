"""The results run by run as CSV, for a spreadsheet.

References
----------
.. [1] RFC 4180: comma, CRLF, quotes where a cell holds a comma, a quote or a line break.
"""

from __future__ import annotations

import csv
import io
import re

from tarebook.core.quantity import Estimate
from tarebook.reduction.results import RunAmounts
from tarebook.report.outcome import Outcome

_QUANTITIES = (
    ("reagent", "mmol", 1000.0),
    ("sample", "mmol", 1000.0),
    ("gas_found", "g", 1.0),
    ("gas_expected", "g", 1.0),
    ("yield", "percent", 1.0),
    ("yield_of_claim", "percent", 1.0),
)

_FORMULA = re.compile(r"[=@\t\r]|[+-](?![\d.,]+$)")
"""How a cell begins that a spreadsheet would calculate; a signed number is none."""

HEADER = (
    "run",
    "limiting",
    "p_reagent_limiting",
    *(
        f"{name}_{part}{unit}"
        for name, unit, _ in _QUANTITIES
        for part in ("", "u_", "low_", "high_")
    ),
    "not_used_because",
)
"""Names of the columns; `u` is the standard uncertainty, `low` to `high` the 95 % interval."""


def results_csv(outcome: Outcome) -> str:
    """Return one row for each run, in the order of the readings.

    Parameters
    ----------
    outcome : Outcome

    Returns
    -------
    str
        CSV with a header row; cells of quantities that a run lacks are blank.
    """
    amounts = {run.run: run for run in outcome.usual.runs}
    left_out = {run.run: run.why for run in outcome.usual.left_out}
    page = io.StringIO()
    writer = csv.writer(page, lineterminator="\r\n")
    writer.writerow(HEADER)
    for name in outcome.table.runs:
        if name in amounts:
            writer.writerow(_row(amounts[name]))
        else:
            blank = [""] * (len(HEADER) - 2)
            writer.writerow([_harmless(name), *blank, _harmless(left_out[name])])
    return page.getvalue()


def _row(run: RunAmounts) -> list[str]:
    estimates = (
        run.reagent,
        run.sample,
        run.gas_found,
        run.gas_expected,
        run.yield_percent,
        run.yield_of_claim_percent,
    )
    cells = [_harmless(run.run), run.limiting, f"{run.p_reagent_limiting:.4g}"]
    for estimate, (_, _, factor) in zip(estimates, _QUANTITIES, strict=True):
        cells += _cells(estimate, factor)
    return [*cells, _harmless(run.not_in_fit)]


def _cells(estimate: Estimate | None, factor: float) -> list[str]:
    if estimate is None:
        return [""] * 4
    parts = (estimate.value, estimate.u, estimate.low, estimate.high)
    return [f"{part * factor:.6g}" for part in parts]


def _harmless(words: str) -> str:
    """Return words that no spreadsheet takes for a formula."""
    return f"'{words}" if _FORMULA.match(words) else words
