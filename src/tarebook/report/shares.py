"""The uncertainty budget as the few lines that matter."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from tarebook.report import numbers
from tarebook.report.equipment import instrument_name
from tarebook.report.languages.writing import Writing
from tarebook.report.outcome import Outcome
from tarebook.series.experiment import Experiment

SMALL_SHARE = 0.01
"""Sources below this share of the variance are named together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One bar of the budget: `part` in [0, 1] and as text."""

    source: str
    part: float
    text: str


def budget_lines(outcome: Outcome, how: Writing) -> tuple[Share, ...]:
    """Return what makes the main result uncertain, the largest first, the small ones together."""
    series = outcome.series
    shares = series.budget if series else ()
    names, style = _of_instruments(outcome.experiment, how), how.style
    lines = [
        Share(
            source=names.get(item.source) or how(f"budget.{item.source}"),
            part=item.share,
            text=numbers.share(item.share, style),
        )
        for item in shares
        if item.share >= SMALL_SHARE
    ]
    small = [item.share for item in shares if 0 < item.share < SMALL_SHARE]
    if small:
        limit, whole = numbers.with_unit("1", "%", style), sum(small)
        said = how("report.small_shares", n=len(small), limit=limit)
        lines.append(Share(source=said, part=whole, text=numbers.share(whole, style)))
    return tuple(lines)


OF_WARE = (
    "calibration", "graduation line", "reading", "repeatability", "hold-up",
    "single pours of reagent", "single pours of diluent",
)  # fmt: skip
OF_BALANCE = ("rounding", "repeatability", "linearity", "single weighings")
"""Errors that a budget names with their instrument."""


def _of_instruments(experiment: Experiment, how: Writing) -> Mapping[str, str]:
    """Return how each line of a budget that names an instrument is said."""
    equipment = experiment.equipment
    named = [
        (one.name, instrument_name(one, how), OF_WARE)
        for one in (equipment.reagent, equipment.diluent)
    ] + [
        (one.name, instrument_name(one, how), OF_BALANCE)
        for one in (equipment.balance, equipment.sample_balance)
    ]
    return {
        f"{name}: {error}": how("budget.of_instrument", name=said, error=how(f"budget.{error}"))
        for name, said, errors in named
        for error in errors
    }
