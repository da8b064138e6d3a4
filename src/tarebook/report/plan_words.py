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
from tarebook.report.languages.writing import Writing, in_files
from tarebook.report.numbers import NumberStyle


def row_name(name: str, how: Writing) -> str:
    """Return what a row is called, such as the best one."""
    return how(f"plan_report.row_{name}")


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


def at_words(plan: Plan, how: Writing) -> str:
    """Return where the equivalence point lies: mL of reagent, or g where the sample grows."""
    at = plan.expected.equivalence_sample
    if at is None:
        return mL(plan.expected.equivalence.value, how.style)
    return _of_sample(at.value, how)


def _of_sample(mass: float, how: Writing) -> str:
    shown = numbers.with_unit(two_or_more(mass, how.style), "g", how.style)
    return how("charts.at_sample", place=shown)


def both_at_words(plan: Plan, how: Writing) -> str:
    """Return where the equivalence point lies as read, beside what the equation alone says.

    They are two quantities, since some of each pour stays behind in the ware. Where both print the
    same one is enough.
    """
    experiment, said = plan.experiment, at_words(plan, how)
    if plan.expected.equivalence_sample is None:
        by_equation = mL(equivalence_volume(experiment), how.style)
    else:
        by_equation = _of_sample(equivalence_mass(experiment), how)
    if by_equation == said:
        return said
    return how("plan_report.both", said=said, other=by_equation)


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


def sample_words(plan: Plan, how: Writing) -> str:
    """Return the portions of a row in which the sample grows, in a few words."""
    return _steps_in_words([run.sample for run in plan.experiment.planned], how)


def row_words(reagent: Sequence[float], how: Writing | None = None) -> str:
    """Return a row in a few words: an even one by its step, one with replicates by their number.

    Parameters
    ----------
    reagent : sequence of float, [L]
    how : Writing, optional
        Language and numbers; English as in a terminal without it.

    Examples
    --------
    >>> row_words([0.02, 0.02, 0.02, 0.035, 0.035]), row_words([0.01, 0.012, 0.014])
    ('3 × 20, 2 × 35', '10 to 14 in steps of 2')
    """
    return _steps_in_words([millilitres(volume) for volume in reagent], how or in_files())


def _steps_in_words(amounts: Sequence[float], how: Writing) -> str:
    volumes = [round(amount, 6) for amount in amounts]
    counts, style = Counter(volumes), how.style
    between = ", " if style.decimal == "." else "; "

    def shown(volume: float) -> str:
        return numbers.plain(volume, 0.0, style)

    if len(counts) < len(volumes):
        parts = []
        for volume in sorted(counts):
            times = counts[volume]
            many = f"{times}{style.gap}×{style.gap}{shown(volume)}"
            parts.append(many if times > 1 else shown(volume))
        return between.join(parts)
    steps = {round(b - a, 6) for a, b in pairwise(volumes)}
    if len(steps) == 1 and len(volumes) > 2:
        first, last, step = shown(volumes[0]), shown(volumes[-1]), shown(steps.pop())
        return how("plan_report.steps", first=first, last=last, step=step)
    return between.join(shown(volume) for volume in volumes)


def u_wanted(plan: Plan, u: float, style: NumberStyle) -> str:
    """Return the u of what the row is to be best for, with its unit."""
    if plan.wishes.best is Best.CONTENT:
        return numbers.with_unit(two(100.0 * u, style), "%", style)
    return numbers.with_unit(two(millilitres(u), style), "mL", style)


def two_or_more(value: float, style: NumberStyle) -> str:
    """Return a number with three significant digits, trailing zeros dropped."""
    return numbers.plain(float(f"{value:.3g}"), 0.0, style)
