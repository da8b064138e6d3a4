"""The results run by run as CSV, for a spreadsheet.

References
----------
.. [1] RFC 4180: comma, CRLF, quotes where a cell holds a comma, a quote or a line break. Where
   the decimal mark is a comma, spreadsheets expect semicolons instead.
"""

from __future__ import annotations

from tarebook.core.csv_text import CsvWay, csv_text
from tarebook.core.quantity import Estimate
from tarebook.report.languages.writing import csv_way, in_files
from tarebook.report.outcome import Outcome
from tarebook.report.run_results import RunResult, run_results

_QUANTITIES = (
    ("reagent", "_mmol", 1000.0),
    ("sample", "_mmol", 1000.0),
    ("gas_found", "_g", 1.0),
    ("retained", "_g", 1.0),
    ("gas_full", "_g", 1.0),
    ("gas_expected", "_g", 1.0),
    ("yield", "_percent", 1.0),
    ("yield_of_claim", "_percent", 1.0),
    ("pH_expected", "", 1.0),
    ("usual_gas_expected", "_g", 1.0),
    ("usual_yield", "_percent", 1.0),
)
"""Name, unit and factor; `gas_found` is the mass lost, and what begins with `usual` is of the usual
sum alone where the model of the cup has values of its own."""

HEADER = (
    "run",
    "limiting",
    "p_reagent_limiting",
    *(
        f"{name}{part}{unit}"
        for name, unit, _ in _QUANTITIES
        for part in ("", "_u", "_low", "_high")
    ),
    "usual_limiting",
    "usual_p_reagent_limiting",
    "not_used_because",
    "not_in_model_because",
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
        CSV with a header row, written as in the place of the course; cells of quantities that a
        run lacks are blank.
    """
    way = csv_way(outcome.experiment.preparation.course)
    rows = [_row(result, way) for result in run_results(outcome)]
    return csv_text([HEADER, *rows], line_end="\r\n", separator=way.separator)


def _row(result: RunResult, way: CsvWay) -> list[str]:
    usual, full = result.usual, result.full
    estimates = (
        result.reagent,
        result.sample,
        result.lost,
        full.retained if full else None,
        full.gas_full if full else None,
        result.gas_expected,
        result.yield_percent,
        usual.yield_of_claim_percent if usual else None,
        full.ph if full else None,
        usual.gas_expected if usual else None,
        usual.yield_percent if usual else None,
    )
    cells = [_chance(result.p_reagent_limiting)]
    for estimate, (_, _, factor) in zip(estimates, _QUANTITIES, strict=True):
        cells += _cells(estimate, factor)
    usual_chance = _chance(usual.p_reagent_limiting) if usual else ""
    why = usual.not_in_fit if usual else result.why_not_usual
    return [
        result.run,
        result.limiting or "",
        *(way.number(cell) for cell in cells),
        (usual.limiting or "") if usual else "",
        way.number(usual_chance),
        in_files().say(why),
        in_files().say(result.why_not_full),
    ]


def _chance(p: float | None) -> str:
    return "" if p is None else f"{p:.4g}"


def _cells(estimate: Estimate | None, factor: float) -> list[str]:
    if estimate is None:
        return [""] * 4
    parts = (estimate.value, estimate.u, estimate.low, estimate.high)
    return [f"{part * factor:.6g}" for part in parts]
