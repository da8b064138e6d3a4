"""The uncertainty budget as the few lines that matter."""

from __future__ import annotations

from dataclasses import dataclass

from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle
from tarebook.report.outcome import Outcome

SMALL_SHARE = 0.01
"""Sources below this share of the variance are named together."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """One bar of the budget: `part` in [0, 1] and as text."""

    source: str
    part: float
    text: str


def budget_lines(outcome: Outcome, style: NumberStyle = numbers.PRINT) -> tuple[Share, ...]:
    """Return what makes the main result uncertain, the largest first, the small ones together."""
    series = outcome.series
    shares = series.budget if series else ()
    lines = [
        Share(source=item.source, part=item.share, text=numbers.share(item.share, style))
        for item in shares
        if item.share >= SMALL_SHARE
    ]
    small = [item.share for item in shares if 0 < item.share < SMALL_SHARE]
    if small:
        names = f"{len(small)} more, each below{style.gap}1{style.gap}%"
        whole = sum(small)
        lines.append(Share(source=names, part=whole, text=numbers.share(whole, style)))
    return tuple(lines)
