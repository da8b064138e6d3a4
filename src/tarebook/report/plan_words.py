"""Numbers, volumes and rows of a plan in words."""

from __future__ import annotations

from collections import Counter
from collections.abc import Sequence
from itertools import pairwise

from tarebook.core.units import millilitres
from tarebook.planning.plan import Plan
from tarebook.planning.prepare.amounts import equivalence_mass, equivalence_volume
from tarebook.planning.rows import Best
from tarebook.report import numbers
from tarebook.report.numbers import NumberStyle

ROW_NAMES = {
    "given": "this row",
    "equal steps": "equal steps",
    "best": "best",
    "even": "even row",
}


def two(value: float, style: NumberStyle) -> str:
    """Return a number with two significant digits.

    Examples
    --------
    >>> two(0.5467, numbers.TERMINAL), two(12.34, numbers.TERMINAL), two(0.0, numbers.TERMINAL)
    ('0.55', '12', '0')
    """
    if value == 0:
        return "0"
    rounded = float(f"{value:.1e}")
    return numbers.fixed(rounded, max(numbers.places(rounded, abs(rounded)), 0), style)


def mL(volume: float, style: NumberStyle, digits: int = 3) -> str:  # noqa: N802  the unit
    """Return a volume in L as millilitres with its unit."""
    return numbers.with_unit(
        numbers.plain(float(f"{millilitres(volume):.{digits}g}"), 0.0, style), "mL", style
    )


def at_words(plan: Plan, style: NumberStyle) -> str:
    """Return where the equivalence point lies: mL of reagent, or g where the sample grows."""
    at = plan.expected.equivalence_sample
    if at is None:
        return mL(plan.expected.equivalence.value, style)
    sample = numbers.with_unit(two_or_more(at.value, style), "g", style)
    return f"{sample} of sample"


def both_at_words(plan: Plan, style: NumberStyle) -> str:
    """Return where the equivalence point lies as read, beside what the equation alone says.

    They are two quantities, since some of each pour stays behind in the ware. Where both print the
    same one is enough.
    """
    experiment, said = plan.experiment, at_words(plan, style)
    if plan.expected.equivalence_sample is None:
        by_equation = mL(equivalence_volume(experiment), style)
    else:
        mass = two_or_more(equivalence_mass(experiment), style)
        by_equation = f"{numbers.with_unit(mass, 'g', style)} of sample"
    if by_equation == said:
        return said
    return f"{said} as read ({by_equation} by the equation)"


def equivalence_u(plan: Plan, u: float) -> tuple[float, str]:
    """Return a u of the equivalence point as the row has it: in mL, or in g where the sample grows.

    Parameters
    ----------
    plan : Plan
    u : float, [L]
        Of the equivalence reading for the nominal sample.
    """
    grams = plan.expected.equivalence_sample
    if grams is None:
        return millilitres(u), "mL"
    return grams.value * u / plan.expected.equivalence.value, "g"


def sample_words(plan: Plan, style: NumberStyle) -> str:
    """Return the portions of a row in which the sample grows, in a few words."""
    return _steps_in_words([run.sample for run in plan.experiment.planned], style)


def row_words(reagent: Sequence[float], style: NumberStyle = numbers.TERMINAL) -> str:
    """Return a row in a few words: an even one by its step, one with replicates by their number.

    Examples
    --------
    >>> row_words([0.02, 0.02, 0.02, 0.035, 0.035]), row_words([0.01, 0.012, 0.014])
    ('3 × 20, 2 × 35', '10 to 14 in steps of 2')
    """
    return _steps_in_words([millilitres(volume) for volume in reagent], style)


def _steps_in_words(amounts: Sequence[float], style: NumberStyle) -> str:
    volumes = [round(amount, 6) for amount in amounts]
    counts = Counter(volumes)

    def shown(volume: float) -> str:
        return numbers.plain(volume, 0.0, style)

    if len(counts) < len(volumes):
        parts = []
        for volume in sorted(counts):
            times = counts[volume]
            many = f"{times}{style.gap}×{style.gap}{shown(volume)}"
            parts.append(many if times > 1 else shown(volume))
        return ", ".join(parts)
    steps = {round(b - a, 6) for a, b in pairwise(volumes)}
    if len(steps) == 1 and len(volumes) > 2:
        return f"{shown(volumes[0])} to {shown(volumes[-1])} in steps of {shown(steps.pop())}"
    return ", ".join(shown(volume) for volume in volumes)


def wanted(plan: Plan) -> str:
    """Return what the row is to be best for."""
    return "the content" if plan.wishes.best is Best.CONTENT else "the equivalence point"


def u_wanted(plan: Plan, u: float, style: NumberStyle) -> str:
    """Return the u of what the row is to be best for, with its unit."""
    if plan.wishes.best is Best.CONTENT:
        return numbers.with_unit(two(100.0 * u, style), "%", style)
    return numbers.with_unit(two(millilitres(u), style), "mL", style)


def two_or_more(value: float, style: NumberStyle) -> str:
    """Return a number with three significant digits, trailing zeros dropped."""
    return numbers.plain(float(f"{value:.3g}"), 0.0, style)
